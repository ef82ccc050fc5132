package meniscus.recorder.page.http;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HexFormat;
import java.util.List;
import java.util.concurrent.ThreadLocalRandom;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;

/**
 * What is told to all viewers. Lasting events are numbered and can be asked for again after a lost
 * connection; live states are shown and forgotten. Whoever publishes never waits for a viewer.
 */
public final class LiveEvents {

  public static final int MOST_VIEWERS = 24;
  public static final int MOST_GUESTS = 20;
  private static final int REMEMBERED = 500;

  private record Lasting(long number, String text) {}

  /** Tells this run of the program from an earlier one in event ids. */
  private final String run = HexFormat.of().toHexDigits(ThreadLocalRandom.current().nextInt());

  private final Deque<Lasting> remembered = new ArrayDeque<>();
  private final List<Viewer> viewers = new ArrayList<>();
  private long number;
  private long missedByThoseGone;
  private long letGo;

  /**
   * What slow viewers cost: them, nobody else.
   *
   * @param watching open pages
   * @param statesMissed states thrown away because a viewer did not take them, since the start
   * @param letGo viewers that did not keep up and were let go, since the start
   */
  public record Count(int watching, long statesMissed, long letGo) {}

  /** Tells something that must not be missed. */
  public synchronized void tell(String name, JsonNode data) {
    number++;
    Lasting event = new Lasting(number, "id: " + id() + "\n" + body(name, data));
    remembered.addLast(event);
    if (remembered.size() > REMEMBERED) {
      remembered.removeFirst();
    }
    List.copyOf(viewers).forEach(viewer -> viewer.tell(event.text()));
  }

  /** Shows how things stand; a viewer that is slow misses some. */
  public synchronized void show(String name, Supplier<JsonNode> data) {
    if (!viewers.isEmpty()) {
      String text = body(name, data.get());
      List.copyOf(viewers).forEach(viewer -> viewer.show(text));
    }
  }

  /**
   * A viewer joins and gets what it missed.
   *
   * @param after id of the last event that it knows; empty for none
   */
  public synchronized Viewer join(String client, String after) throws HttpError {
    return join(client, after, MOST_VIEWERS);
  }

  /** Of guests only so many that the bench's own pages always find a place. */
  public synchronized Viewer joinAsGuest(String client, String after) throws HttpError {
    return join(client, after, MOST_GUESTS);
  }

  private Viewer join(String client, String after, int most) throws HttpError {
    if (viewers.size() >= most) {
      throw HttpError.full(most + " viewers watch already: close one");
    }
    Viewer viewer = new Viewer(client);
    if (!after.isEmpty() && !catchUp(viewer, after)) {
      viewer.tell("id: " + id() + "\nevent: reset\ndata: {}\n\n");
    }
    viewers.add(viewer);
    return viewer;
  }

  private boolean catchUp(Viewer viewer, String after) {
    String[] parts = after.split("-", 2);
    if (parts.length != 2 || !parts[0].equals(run) || !parts[1].matches("\\d{1,18}")) {
      return false;
    }
    long last = Long.parseLong(parts[1]);
    if (last > number || !remembered.isEmpty() && last < remembered.peekFirst().number() - 1) {
      return false;
    }
    remembered.stream()
        .filter(event -> event.number() > last)
        .forEach(event -> viewer.tell(event.text()));
    return true;
  }

  public synchronized void leave(Viewer viewer) {
    if (viewers.remove(viewer)) {
      missedByThoseGone += viewer.missed();
      letGo += viewer.wasLetGo() ? 1 : 0;
    }
    notifyAll();
  }

  public synchronized Count counted() {
    long missed = viewers.stream().mapToLong(Viewer::missed).sum();
    return new Count(viewers.size(), missedByThoseGone + missed, letGo);
  }

  public synchronized boolean connected(String client) {
    return viewers.stream().anyMatch(viewer -> viewer.client().equals(client));
  }

  /** Viewers that cannot keep up are let go; they come again and ask for what they missed. */
  public synchronized void dropSlow() {
    viewers.forEach(Viewer::dropIfStuck);
  }

  /**
   * Lets all viewers go, each after what still waits for it, if it takes that in time.
   *
   * @param millis patience for all of them together
   */
  public synchronized void endAll(long millis) {
    viewers.forEach(Viewer::end);
    long until = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(millis);
    try {
      for (long left = millis; !viewers.isEmpty() && left > 0; ) {
        wait(left);
        left = TimeUnit.NANOSECONDS.toMillis(until - System.nanoTime());
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    viewers.forEach(Viewer::drop);
  }

  /** Id of the newest event. */
  public synchronized String id() {
    return run + "-" + number;
  }

  private static String body(String name, JsonNode data) {
    return "event: " + name + "\ndata: " + data + "\n\n";
  }
}
