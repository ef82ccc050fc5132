package meniscus.drivers.line;

/**
 * A line that could not be opened, or is gone. The message is for people: what, where, what to do.
 */
public final class LineLost extends Exception {

  private static final long serialVersionUID = 1;

  public LineLost(String message) {
    super(message);
  }

  public LineLost(String message, Throwable cause) {
    super(message, cause);
  }
}
