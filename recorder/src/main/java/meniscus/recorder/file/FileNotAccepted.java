package meniscus.recorder.file;

/** A file is missing, damaged or says something that cannot be; the message is for its owner. */
public final class FileNotAccepted extends RuntimeException {

  private static final long serialVersionUID = 1L;

  public FileNotAccepted(String message) {
    super(PlainText.message(message));
  }

  public FileNotAccepted(String message, Throwable cause) {
    super(PlainText.message(message), cause);
  }
}
