package meniscus.recorder.session;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.function.Consumer;
import meniscus.core.lift.StandingPoints;
import meniscus.core.lift.TestEvent;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.folder.FolderFinish;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;

/**
 * A finished test whose journal is still there, because the program was killed before it could take
 * it away. Nothing of it is to be taken once more.
 */
public final class Leftover {

  private Leftover() {}

  /**
   * Clears the journal of a test away, where all of it is in the folder.
   *
   * @param out folder of the test, there or not
   * @param mirror second folder for the journal
   * @param mirrorTrouble told when the mirror does not take that
   * @return the finished test; empty where there is no such journal
   * @throws IOException when another recorder is at it, or the disk does not do it
   */
  public static Optional<TestFolder> cleared(
      Path out, Optional<Path> mirror, Consumer<String> mirrorTrouble) throws IOException {
    if (TestFolder.state(out) != TestFolder.State.FINISHED
        || !Files.exists(out.resolve(Journal.NAME))) {
      return Optional.empty();
    }
    try (FolderLock lock = FolderLock.take(out)) {
      FolderFinish finish = new FolderFinish(Disk.REAL, lock.folder());
      if (mirror.isEmpty() || !Files.isDirectory(mirror.get())) {
        return finish.clear(Optional.empty(), mirrorTrouble);
      }
      try (FolderLock second = FolderLock.take(mirror.get())) {
        return finish.clear(Optional.of(second.folder()), mirrorTrouble);
      }
    }
  }

  /** Rungs of a finished test that are neither kept nor left empty. */
  static int openRungs(TestFolder finished) throws IOException {
    StandingPoints<TestEvent> rungs = new StandingPoints<>();
    for (TestEvent event : finished.events()) {
      if (event.what() instanceof TestEvent.Kept kept) {
        rungs.keep(kept.rung(), kept.attempt(), event);
      } else {
        rungs.happened(event.what());
      }
    }
    int all = PlanFile.parse(Header.PLAN, finished.text(Header.PLAN)).ladder().size();
    return all - rungs.points().size() - rungs.skipped().size();
  }
}
