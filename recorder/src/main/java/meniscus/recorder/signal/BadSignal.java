package meniscus.recorder.signal;

import java.io.IOException;
import java.nio.file.Path;
import meniscus.recorder.file.PlainText;

/** A signal file cannot be used; the message names file and row and says what to do. */
public final class BadSignal extends IOException {

  private static final long serialVersionUID = 1L;

  BadSignal(Path file, String what) {
    super(PlainText.message(file + ": " + what));
  }

  BadSignal(Path file, long row, String what) {
    super(PlainText.message(file + ", row " + row + ": " + what));
  }
}
