package meniscus.drivers.line;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import meniscus.core.instrument.Next;
import meniscus.core.time.Moment;

/** A listener for tests: cuts what it hears at LF, and lets the test wait for what happens. */
public class HeardLines implements LineListener {

  private static final long LONGEST_WAIT_S = 20;

  private final LinkedBlockingQueue<String> events = new LinkedBlockingQueue<>();
  private final StringBuilder partial = new StringBuilder();
  private Moment last = new Moment(Long.MIN_VALUE);

  /**
   * Waits for the next thing that happened.
   *
   * @return {@code opened}, {@code lost: …}, {@code waiting: …}, {@code ended}, or a line of text
   */
  public String next() throws InterruptedException {
    String event = events.poll(LONGEST_WAIT_S, TimeUnit.SECONDS);
    return event == null ? "nothing within " + LONGEST_WAIT_S + " s" : event;
  }

  /** All that happened and was not asked for yet. */
  public List<String> rest() {
    List<String> all = new ArrayList<>();
    events.drainTo(all);
    return all;
  }

  @Override
  public Next opened(Moment at) {
    happened(at, "opened");
    partial.setLength(0);
    return Next.NOTHING;
  }

  @Override
  public Next bytes(Moment at, ByteBuffer bytes) {
    partial.append(StandardCharsets.ISO_8859_1.decode(bytes));
    int end = partial.indexOf("\n");
    while (end >= 0) {
      happened(at, partial.substring(0, end));
      partial.delete(0, end + 1);
      end = partial.indexOf("\n");
    }
    return Next.NOTHING;
  }

  @Override
  public Next tick(Moment at) {
    happened(at, "tick");
    return Next.NOTHING;
  }

  @Override
  public void lost(Moment at, String reason) {
    happened(at, "lost: " + reason);
  }

  @Override
  public void waiting(Moment at, String reason) {
    happened(at, "waiting: " + reason);
  }

  @Override
  public void ended(Moment at) {
    happened(at, "ended");
  }

  private void happened(Moment at, String what) {
    if (last.isAfter(at)) {
      events.add("MOMENTS FALL: " + last + " then " + at);
    }
    last = at;
    events.add(what);
  }
}
