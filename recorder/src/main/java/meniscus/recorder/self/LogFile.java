package meniscus.recorder.self;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.time.temporal.ChronoUnit;

/**
 * The file that a user can send when something went wrong: warnings, and faults of the program with
 * where they happened. Nothing is written while all goes well. What the program writes holds no
 * code, key or answer of a person, and the home folder is written as {@code ~}.
 *
 * <p>Several programs may write to one file: each entry is one write at its end. A full file
 * becomes {@code .1}, that one {@code .2}, and the oldest goes. Writing never fails loudly, for
 * what it would tell of is worse.
 */
public final class LogFile {

  /** Some thousand warnings; small enough for a letter. Our own choice. */
  private static final long MOST_BYTES = 1 << 20;

  private static final int OLDER_FILES = 2;

  private static final class Own {
    private static final LogFile FILE =
        new LogFile(UserFolders.here().state().resolve("meniscus.log"), MOST_BYTES);
  }

  private final Path file;
  private final long mostBytes;
  private boolean headed;

  LogFile(Path file, long mostBytes) {
    this.file = file;
    this.mostBytes = mostBytes;
  }

  /** That of whoever runs the program; not yet written when nothing has gone wrong. */
  public static LogFile own() {
    return Own.FILE;
  }

  public Path path() {
    return file;
  }

  /**
   * Adds an entry, under a heading that says which program on which machine, once a run.
   *
   * @return false when it cannot be written
   */
  public synchronized boolean add(String entry) {
    String time = Instant.now().truncatedTo(ChronoUnit.MILLIS).toString();
    String heading = headed ? "" : time + " " + String.join("; ", Version.own().lines()) + "\n";
    try {
      Files.createDirectories(file.getParent());
      makeRoom();
      Files.write(
          file,
          (heading + time + " " + homeless(entry).stripTrailing() + "\n")
              .getBytes(StandardCharsets.UTF_8),
          StandardOpenOption.CREATE,
          StandardOpenOption.APPEND);
      headed = true;
      return true;
    } catch (IOException noDiskNoLog) {
      return false;
    }
  }

  private void makeRoom() throws IOException {
    if (!Files.exists(file) || Files.size(file) < mostBytes) {
      return;
    }
    try {
      for (int i = OLDER_FILES; i > 0; i--) {
        Path younger = i == 1 ? file : older(i - 1);
        if (Files.exists(younger)) {
          Files.move(younger, older(i), StandardCopyOption.REPLACE_EXISTING);
        }
      }
    } catch (IOException heldByAnother) {
      // Windows keeps a file that another program has open; it grows until that ends.
    }
  }

  private Path older(int number) {
    return file.resolveSibling(file.getFileName() + "." + number);
  }

  private static String homeless(String text) {
    String home = System.getProperty("user.home", "");
    return home.length() > 1 ? text.replace(home, "~") : text;
  }
}
