package meniscus.recorder.folder;

import java.io.IOException;
import meniscus.recorder.file.PlainText;

/** A folder is no test folder, is unfinished, damaged, or of a newer format; the message says. */
public final class BadTestFolder extends IOException {

  private static final long serialVersionUID = 1L;

  public BadTestFolder(String message) {
    super(PlainText.message(message));
  }

  public BadTestFolder(String message, Throwable cause) {
    super(PlainText.message(message), cause);
  }
}
