package meniscus.recorder.feed;

/**
 * The person at the bench asked for an end, and it was seen between two readings: no thread was
 * interrupted, so that no file was closed in the middle of a line.
 */
public final class Stopped extends InterruptedException {

  private static final long serialVersionUID = 1L;

  /** An end that was asked for. */
  public Stopped() {
    super("stopped by the operator");
  }
}
