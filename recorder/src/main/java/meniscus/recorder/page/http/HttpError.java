package meniscus.recorder.page.http;

/** A request is not done; the message says what, where and what to do. */
public final class HttpError extends Exception {

  private static final long serialVersionUID = 1L;

  private final int status;

  private HttpError(int status, String message) {
    super(message);
    this.status = status;
  }

  /** The request is not understood. */
  public static HttpError wrong(String message) {
    return new HttpError(400, message);
  }

  /** Whoever asks may not. */
  public static HttpError forbidden(String message) {
    return new HttpError(403, message);
  }

  public static HttpError unknown(String message) {
    return new HttpError(404, message);
  }

  /** Understood, but not as things stand. */
  public static HttpError notNow(String message) {
    return new HttpError(409, message);
  }

  static HttpError tooLarge(String message) {
    return new HttpError(413, message);
  }

  static HttpError wrongType(String message) {
    return new HttpError(415, message);
  }

  /** Meant for another server. */
  static HttpError misdirected(String message) {
    return new HttpError(421, message);
  }

  /** Whoever asks must first say who it is. */
  public static HttpError unauthorised(String message) {
    return new HttpError(401, message);
  }

  public static HttpError tooOften(String message) {
    return new HttpError(429, message);
  }

  public static HttpError full(String message) {
    return new HttpError(503, message);
  }

  public int status() {
    return status;
  }
}
