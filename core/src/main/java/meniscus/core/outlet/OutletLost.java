package meniscus.core.outlet;

/** A way out cannot be opened, or is gone. The message is for people: what, where, what to do. */
public final class OutletLost extends Exception {

  private static final long serialVersionUID = 1L; // never stored

  public OutletLost(String message) {
    super(message);
  }

  public OutletLost(String message, Throwable cause) {
    super(message, cause);
  }
}
