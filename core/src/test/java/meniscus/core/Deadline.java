package meniscus.core;

import java.util.concurrent.TimeUnit;

/**
 * The end of one wait: long enough for a machine that is busy with other things, and then it says
 * what never came.
 */
public final class Deadline {

  private static final long MINUTES = 3;

  private final String what;
  private final long end = System.nanoTime() + TimeUnit.MINUTES.toNanos(MINUTES);

  private Deadline(String what) {
    this.what = what;
  }

  /** Three minutes from now. */
  public static Deadline of(String what) {
    return new Deadline(what);
  }

  /** Fails once the time is over. */
  public void check() {
    if (System.nanoTime() > end) {
      throw new AssertionError(what + ": not within " + MINUTES + " minutes");
    }
  }

  /** Lets a moment pass, or fails once the time is over. */
  public void pause(long millis) throws InterruptedException {
    check();
    Thread.sleep(millis);
  }
}
