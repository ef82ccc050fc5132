package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Optional;
import meniscus.recorder.disk.MemoryDisk;

/** Journals that run out of memory and patience soon, for tests of what happens then. */
public final class SmallJournals {

  public static final Path FOLDER = Path.of("/test");

  private SmallJournals() {}

  public static Journal create(MemoryDisk disk, Header header) throws IOException {
    return Journal.create(
        disk,
        FOLDER,
        Optional.empty(),
        header,
        new JournalLimits(
            20_000,
            Duration.ofMillis(200),
            Duration.ofMillis(5),
            Duration.ofMillis(20),
            Duration.ofMillis(50)));
  }
}
