package meniscus.recorder.upkeep;

/** What was asked for cannot be done as it was asked; nothing was begun. */
public final class WrongRequest extends Exception {

  private static final long serialVersionUID = 1L;

  /** What is the matter with it. */
  public enum Why {
    /** The words are wrong. */
    NOT_UNDERSTOOD,
    /** The bench is not ready for it. */
    NOT_NOW
  }

  private final Why why;
  private final String option;

  private WrongRequest(Why why, String option, String message) {
    super(message);
    this.why = why;
    this.option = option;
  }

  /**
   * @param option that is wrong, as the page names it: {@code set_up}
   * @param message what it must be
   */
  public static WrongRequest notUnderstood(String option, String message) {
    return new WrongRequest(Why.NOT_UNDERSTOOD, option, message);
  }

  /**
   * @param message what to do first
   */
  static WrongRequest notNow(String message) {
    return new WrongRequest(Why.NOT_NOW, "", message);
  }

  public Why why() {
    return why;
  }

  /** The option that is wrong; empty when none is to blame. */
  public String option() {
    return option;
  }
}
