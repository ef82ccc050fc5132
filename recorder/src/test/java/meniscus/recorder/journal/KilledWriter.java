package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.Random;
import meniscus.core.lift.LiftPoint;
import meniscus.recorder.disk.FolderLock;

/** A program that goes on with a journal and never ends by itself; says each point once kept. */
public final class KilledWriter {

  private KilledWriter() {}

  /** The point that the writer keeps at a rung: the checker works it out again. */
  static LiftPoint pointAt(int rung) {
    return Samples.point(rung, 1, new Random(rung));
  }

  /** The value of a row by its number. */
  static double valueOf(long row) {
    return row * 0.1;
  }

  /**
   * @param arguments the folder
   */
  public static void main(String[] arguments) throws IOException {
    Path folder = Path.of(arguments[0]);
    Path file = folder.resolve(Journal.NAME);
    FolderLock lock = FolderLock.take(folder);
    int rung = 1;
    Journal journal;
    if (Files.exists(file) && JournalReader.read(file).header().isPresent()) {
      Recovered found = JournalReader.read(file);
      rung = found.standing().size() + 1;
      journal = Journal.resume(lock, Optional.empty(), found);
    } else {
      Files.deleteIfExists(file);
      journal = Journal.create(lock, Optional.empty(), Samples.header());
    }
    System.out.println("started");
    for (; ; rung++) {
      for (int i = rung * 7 % 400; i >= 0; i--) {
        journal.row(journal.rows() * 1000, 1, valueOf(journal.rows()));
      }
      LiftPoint point = pointAt(rung);
      if (journal.kept(point, Samples.kept(point, journal.rows())).safe()) {
        System.out.println("kept " + rung + " " + journal.rows());
      }
    }
  }
}
