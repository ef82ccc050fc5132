package meniscus.core.refusal;

/**
 * What was given or asked for cannot be, and a person can put it right: the message says what,
 * where and what to do. Anything else that is thrown as an {@link IllegalArgumentException} is a
 * fault in the program, and is told as one.
 *
 * <p>It is an {@code IllegalArgumentException}, for a driver that lives in a jar of its own may
 * throw that about the settings it was given, and callers of such a driver make a refusal of it.
 */
public final class Refusal extends IllegalArgumentException {

  private static final long serialVersionUID = 1L; // never stored

  public Refusal(String message) {
    super(message);
  }

  public Refusal(String message, Throwable cause) {
    super(message, cause);
  }
}
