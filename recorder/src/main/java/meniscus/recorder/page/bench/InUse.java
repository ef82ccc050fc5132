package meniscus.recorder.page.bench;

import java.util.Optional;
import java.util.concurrent.TimeUnit;
import meniscus.recorder.page.http.HttpError;

/** Who has the bench's lines open: a lift test or the bench's upkeep, never both. */
public final class InUse {

  /** Whoever gives way has this long to close its line [ms]. */
  private static final long GIVES_WAY_MILLIS = 5_000;

  private Optional<String> by = Optional.empty();
  private Optional<Runnable> givesWay = Optional.empty();

  /**
   * @param what for the message: {@code "a lift test"}
   * @throws Refused while something else has them
   */
  public synchronized void take(String what) throws HttpError {
    refuseTaken();
    by = Optional.of(what);
  }

  /**
   * Takes them for something that gives way to whatever else is begun.
   *
   * @param givingWay ends it soon; {@link #free} is called then
   * @throws Refused while something else has them
   */
  public synchronized void take(String what, Runnable givingWay) throws HttpError {
    take(what);
    givesWay = Optional.of(givingWay);
  }

  private void awaitGivingWay() {
    givesWay.ifPresent(Runnable::run);
    long end = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(GIVES_WAY_MILLIS);
    try {
      while (givesWay.isPresent() && System.nanoTime() < end) {
        TimeUnit.NANOSECONDS.timedWait(this, Math.max(1, end - System.nanoTime()));
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** Notes that they are open already, by something that this page did not begin. */
  public synchronized void taken(String what) {
    by = Optional.of(what);
  }

  /**
   * Ends what gives way.
   *
   * @throws Refused while something else has them
   */
  public synchronized void refuseTaken() throws HttpError {
    awaitGivingWay();
    if (by.isPresent()) {
      throw HttpError.notNow(by.get() + " is running: wait for its end, or stop it first");
    }
  }

  public synchronized void free() {
    by = Optional.empty();
    givesWay = Optional.empty();
    notifyAll();
  }
}
