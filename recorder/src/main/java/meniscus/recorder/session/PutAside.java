package meniscus.recorder.session;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import meniscus.recorder.disk.Aside;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.disk.Renaming;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Journal;

/** Renames what is in the way of a new test; nothing is ever deleted. */
final class PutAside {

  private PutAside() {}

  /**
   * Puts a whole folder aside.
   *
   * @return its new name; empty when there was none
   * @throws IOException when another recorder is writing into it
   */
  static Optional<Path> folder(Path folder) throws IOException {
    if (!Files.isDirectory(folder)) {
      return Optional.empty();
    }
    FolderLock.take(folder).close();
    return Optional.of(moved(folder, Aside.free(folder, ".earlier-", "")));
  }

  /**
   * Puts the journal in a mirror's folder aside, and leaves all else that lies there.
   *
   * @return its new name; empty when there was none
   */
  static Optional<Path> journal(Path folder) throws IOException {
    if (TestFolder.state(folder) != TestFolder.State.UNFINISHED) {
      return Optional.empty();
    }
    FolderLock.take(folder).close();
    Path journal = folder.resolve(Journal.NAME);
    return Optional.of(moved(journal, Aside.free(folder.resolve("earlier"), "-", ".journal")));
  }

  private static Path moved(Path from, Path to) throws IOException {
    Renaming.move(from, to);
    return to;
  }
}
