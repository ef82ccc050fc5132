package meniscus.recorder.page;

/** A request is not done; the message says what, where and what to do. */
final class Refused extends Exception {

  private static final long serialVersionUID = 1L;

  private final int status;

  private Refused(int status, String message) {
    super(message);
    this.status = status;
  }

  /** The request is not understood. */
  static Refused wrong(String message) {
    return new Refused(400, message);
  }

  /** Whoever asks may not. */
  static Refused forbidden(String message) {
    return new Refused(403, message);
  }

  static Refused unknown(String message) {
    return new Refused(404, message);
  }

  /** Understood, but not as things stand. */
  static Refused notNow(String message) {
    return new Refused(409, message);
  }

  static Refused tooLarge(String message) {
    return new Refused(413, message);
  }

  static Refused wrongType(String message) {
    return new Refused(415, message);
  }

  /** Meant for another server. */
  static Refused misdirected(String message) {
    return new Refused(421, message);
  }

  /** Whoever asks must first say who it is. */
  static Refused unauthorised(String message) {
    return new Refused(401, message);
  }

  static Refused tooOften(String message) {
    return new Refused(429, message);
  }

  static Refused full(String message) {
    return new Refused(503, message);
  }

  int status() {
    return status;
  }
}
