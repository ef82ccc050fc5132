package meniscus.recorder.page.http;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;

/**
 * One open page. Its own thread writes to it; what waits for it is bounded: old states are thrown
 * away, and too many waiting events, or a write that does not end, end the connection.
 */
public final class Viewer {

  private static final int MOST_EVENTS = 600;
  private static final int MOST_STATES = 30;
  private static final long STUCK_NANOS = TimeUnit.SECONDS.toNanos(8);
  private static final long BEAT_MILLIS = 5_000;

  private final String client;
  private final Deque<String> events = new ArrayDeque<>();
  private final Deque<String> states = new ArrayDeque<>();
  private long missed;
  private boolean dropped;
  private boolean ending;
  private Thread writer;
  private boolean writing;
  private long writingSince;

  Viewer(String client) {
    this.client = client;
  }

  String client() {
    return client;
  }

  synchronized void tell(String event) {
    if (events.size() >= MOST_EVENTS) {
      drop();
    } else {
      events.addLast(event);
      notifyAll();
    }
  }

  synchronized void show(String state) {
    if (states.size() >= MOST_STATES) {
      states.removeFirst();
      missed++;
    }
    states.addLast(state);
    notifyAll();
    dropIfStuck();
  }

  /** States that were thrown away because this viewer did not take them. */
  synchronized long missed() {
    return missed;
  }

  synchronized boolean wasLetGo() {
    return dropped;
  }

  synchronized void dropIfStuck() {
    if (writing && System.nanoTime() - writingSince > STUCK_NANOS) {
      drop();
    }
  }

  /** Ends the connection; a write under way is broken off. */
  public synchronized void drop() {
    dropped = true;
    notifyAll();
    if (writing) {
      writer.interrupt();
    }
  }

  /** Ends the connection once what waits is written. */
  synchronized void end() {
    ending = true;
    notifyAll();
  }

  /**
   * Writes until the viewer is gone or dropped.
   *
   * @param welcome false once whoever watches may no more
   */
  public void serve(OutputStream out, BooleanSupplier welcome)
      throws IOException, InterruptedException {
    out.write("retry: 500\n\n".getBytes(StandardCharsets.UTF_8));
    out.flush();
    for (String next = next(); !next.isEmpty() && welcome.getAsBoolean(); next = next()) {
      try {
        out.write(next.getBytes(StandardCharsets.UTF_8));
        out.flush();
      } finally {
        written();
      }
    }
  }

  private synchronized String next() throws InterruptedException {
    long until = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(BEAT_MILLIS);
    long left = BEAT_MILLIS;
    while (!dropped && !ending && events.isEmpty() && states.isEmpty() && left > 0) {
      wait(left);
      left = TimeUnit.NANOSECONDS.toMillis(until - System.nanoTime());
    }
    if (dropped || ending && events.isEmpty()) {
      return "";
    }
    StringBuilder text = new StringBuilder();
    events.forEach(text::append);
    states.forEach(text::append);
    events.clear();
    states.clear();
    writer = Thread.currentThread();
    writing = true;
    writingSince = System.nanoTime();
    return text.length() == 0 ? ": nothing new\n\n" : text.toString();
  }

  private synchronized void written() {
    writing = false;
    // A late drop must not interrupt whatever this thread does next.
    boolean late = Thread.interrupted();
    if (late) {
      dropped = true;
    }
  }
}
