package meniscus.recorder.feed;

/**
 * The bench cannot be recorded from: a port does not open, or an instrument says nothing sensible.
 * The message says what, where and what to do.
 */
public final class BenchFault extends RuntimeException {

  private static final long serialVersionUID = 1L;

  public BenchFault(String message) {
    super(message);
  }
}
