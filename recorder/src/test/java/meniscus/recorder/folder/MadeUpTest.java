package meniscus.recorder.folder;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.core.quantity.Unit;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.Samples;

/** A whole made-up test of six rungs, recorded through a journal. */
final class MadeUpTest {

  static final Plan.Units UNITS =
      new Plan.Units(Unit.INCH_LENGTH, Unit.CUBIC_FOOT_PER_MINUTE, Unit.INCH_OF_WATER);

  private MadeUpTest() {}

  static List<LiftPoint> points() {
    Random random = new Random(11);
    List<LiftPoint> points = new ArrayList<>();
    for (int rung = 1; rung <= 6; rung++) {
      points.add(Samples.point(rung, 1, random));
    }
    return points;
  }

  static void record(FolderLock lock, Optional<FolderLock> mirror) throws IOException {
    try (Journal journal = Journal.create(lock, mirror, Samples.header())) {
      run(journal);
    }
  }

  /** Makes the test folder of a recorded journal, with the points that stand in it. */
  static TestFolder finish(FolderLock lock, String title) throws IOException {
    return finish(Disk.REAL, lock.folder(), Optional.empty(), title);
  }

  static TestFolder finish(Disk disk, Path folder, Optional<Path> mirror, String title)
      throws IOException {
    return new FolderFinish(disk, folder)
        .finish(mirror, trouble -> {}, UNITS, title, WorkedOut::standing);
  }

  static void run(Journal journal) {
    Random random = new Random(12);
    journal.event(Samples.event(Kind.SEGMENT, 0, 0, "2031-05-06T07:08:09.123456789Z"));
    for (LiftPoint point : points()) {
      journal.event(
          Samples.event(Kind.BEGUN, 10.0 * point.rung() - 5, journal.rows(), "" + point.rung()));
      for (int i = 0; i < 60; i++) {
        long moment = point.keptAt().nanos() - 5_000_000_000L + i * 50_000_000L;
        journal.row(moment, 0, random.nextGaussian() * 100, i % 20 == 0 ? Double.NaN : i);
        journal.row(moment, 0, 1, new double[] {random.nextDouble()});
        if (i % 10 == 0) {
          journal.row(moment + 1, 1, point.liftM() + random.nextGaussian() * 1e-6);
        }
      }
      journal.kept(point, Samples.kept(point, journal.rows()));
    }
    long rows = journal.rows();
    journal.event(Samples.event(Kind.NOTE, 61, rows, "caf\u00e9, \"quoted\"\nsecond line"));
    journal.event(Samples.event(Kind.NOTE, 62, rows, "=HYPERLINK(\"http://example.org\")"));
    journal.event(Samples.event(Kind.REJECTED, 63, rows, "manometer: no number, \\x00\\xff"));
    journal.event(Samples.event(Kind.STOPPED, 64, rows, "all rungs taken"));
  }
}
