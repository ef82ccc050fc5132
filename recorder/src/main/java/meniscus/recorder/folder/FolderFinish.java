package meniscus.recorder.folder;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.Consumer;
import meniscus.core.lift.Plan;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.Trouble;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import meniscus.recorder.journal.Recovered;

/**
 * Turns the journal of a folder into a test folder, reads all of it back, and only then takes the
 * journal away. Safe to do again after it was cut short anywhere.
 *
 * @param folder locked by who asks; its journal is closed
 */
public record FolderFinish(Disk disk, Path folder) {

  /** What a journal stands for. */
  @FunctionalInterface
  public interface PointsOf {
    WorkedOut of(Recovered test) throws IOException;

    /** The instrument whose frames stand in a table of their own. */
    default OptionalInt apart(Recovered test) {
      return OptionalInt.empty();
    }

    /** The plan with the rungs that were added on the way; empty where none were. */
    default Optional<byte[]> plan(Recovered test) {
      return Optional.empty();
    }
  }

  /**
   * @param mirror its journal is kept there, renamed to {@code finished-….journal}; locked as well
   * @param mirrorTrouble told when the mirror does not take that
   * @param units of lift, flow and pressure in points.csv
   * @param title in words
   * @param points which points to write of what the journal holds
   */
  public TestFolder finish(
      Optional<Path> mirror,
      Consumer<String> mirrorTrouble,
      Plan.Units units,
      String title,
      PointsOf points)
      throws IOException {
    Path journal = folder.resolve(Journal.NAME);
    if (disk.exists(journal)) {
      Recovered test = JournalReader.read(disk, journal, JournalVisitor.NONE);
      if (!isWhole(test)) {
        new FolderWriter(disk, folder)
            .write(test, points.of(test), points.plan(test), points.apart(test), units, title);
      }
    }
    return cleared(mirror, mirrorTrouble);
  }

  private TestFolder cleared(Optional<Path> mirror, Consumer<String> mirrorTrouble)
      throws IOException {
    TestFolder whole = TestFolder.open(disk, folder);
    if (mirror.isPresent()) {
      setAside(mirror.get(), whole.created(), mirrorTrouble);
    }
    disk.delete(folder.resolve(Journal.NAME));
    disk.forceFolder(folder);
    return whole;
  }

  /**
   * Takes away a journal all of which is in its finished folder: a program was killed before it
   * could do so.
   *
   * @param mirror as of {@link #finish}
   * @return the finished test; empty where there is no such journal
   */
  public Optional<TestFolder> clear(Optional<Path> mirror, Consumer<String> mirrorTrouble)
      throws IOException {
    Path journal = folder.resolve(Journal.NAME);
    return disk.exists(journal) && isWhole(JournalReader.read(disk, journal, JournalVisitor.NONE))
        ? Optional.of(cleared(mirror, mirrorTrouble))
        : Optional.empty();
  }

  /** Whether an earlier attempt got as far as everything but taking this journal away. */
  private boolean isWhole(Recovered test) throws IOException {
    try {
      PackageFile described = TestFolder.open(disk, folder).described();
      return described.journalBytes() == test.end()
          && test.header().map(Header::created).equals(Optional.of(described.origin().created()));
    } catch (BadTestFolder e) {
      return false;
    }
  }

  /**
   * Else the next test would find an unfinished one on the mirror. A mirror that fails is no fault
   * of the test, which is whole.
   */
  private void setAside(Path mirror, Instant created, Consumer<String> trouble) {
    Path journal = mirror.resolve(Journal.NAME);
    try {
      if (disk.exists(journal)) {
        String name = "finished-" + created.toString().replaceAll("[^0-9A-Za-z]", "") + ".journal";
        disk.rename(journal, mirror.resolve(name));
        disk.forceFolder(mirror);
      }
    } catch (IOException e) {
      trouble.accept(Trouble.inWords(e, journal, disk));
    }
  }
}
