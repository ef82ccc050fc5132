package meniscus.recorder.folder;

import java.io.IOException;
import java.nio.file.Path;
import meniscus.recorder.disk.Trouble;

/** The disk does not take a file of a test folder; the journal still has all of it. */
public final class NotWritten extends IOException {

  private static final long serialVersionUID = 1L;

  NotWritten(Path file, IOException e) {
    super(file.getFileName() + " cannot be written: " + Trouble.inWords(e, file), e);
  }
}
