package meniscus.recorder.session;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.SortedMap;
import java.util.function.Consumer;
import meniscus.core.bench.PointMeans;
import meniscus.core.finding.Confirmation;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.pipeline.Replay;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.file.PlateMounted;
import meniscus.recorder.folder.FolderFinish;
import meniscus.recorder.folder.NotWritten;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.folder.WorkedOut;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import meniscus.recorder.journal.Recovered;

/**
 * Works points out from recorded rows: to finish a test, and to check a finished one. The two are
 * the same act, so a finished folder works out the same again.
 */
public final class Finish {

  private Finish() {}

  /**
   * Makes a finished test folder of the journal in a folder.
   *
   * @param mirrorTrouble told when the mirror does not take it
   * @throws IOException when the disk does not take it: which file, that the points are safe, and
   *     how to go on
   */
  static TestFolder folder(
      FolderLock lock,
      Optional<FolderLock> mirror,
      Consumer<String> mirrorTrouble,
      Assembly assembly)
      throws IOException {
    try {
      return finished(lock, mirror, mirrorTrouble, assembly);
    } catch (NotWritten e) {
      throw new IOException(
          e.getMessage()
              + ". All kept points are safe in "
              + lock.folder().resolve(Journal.NAME)
              + "; then finish the test with record --resume --out "
              + lock.folder(),
          e);
    }
  }

  private static TestFolder finished(
      FolderLock lock,
      Optional<FolderLock> mirror,
      Consumer<String> mirrorTrouble,
      Assembly assembly)
      throws IOException {
    return new FolderFinish(Disk.REAL, lock.folder())
        .finish(
            mirror.map(FolderLock::folder),
            mirrorTrouble,
            assembly.plan().units(),
            assembly.plate().map(Finish::title).orElseGet(() -> title(assembly.plan())),
            new FolderFinish.PointsOf() {
              @Override
              public WorkedOut of(Recovered test) throws IOException {
                return workedOut(test, assembly);
              }

              @Override
              public OptionalInt apart(Recovered test) {
                return assembly.bench().fastInstrument();
              }

              @Override
              public Optional<byte[]> plan(Recovered test) {
                return planOf(test, assembly.plan());
              }
            });
  }

  /** The copy of the plan stays as it was, unless rungs were added while the test ran. */
  private static Optional<byte[]> planOf(Recovered test, Plan plan) {
    List<Rung> ladder = Confirmation.added(plan.ladder(), test.events());
    return ladder.size() == plan.ladder().size()
        ? Optional.empty()
        : Optional.of(PlanFile.text(plan.with(ladder)).getBytes(StandardCharsets.UTF_8));
  }

  /** What a finished folder comes to, worked out again with what an assembly holds. */
  public static WorkedOut workedOut(TestFolder folder, Assembly assembly) throws IOException {
    return workedOut(assembly, folder.instruments(), folder::replay);
  }

  /** Where rows are lost the points in the journal stand: the rest cannot be averaged again. */
  private static WorkedOut workedOut(Recovered test, Assembly assembly) throws IOException {
    return test.lostRows() > 0
        ? WorkedOut.standing(test)
        : workedOut(
            assembly,
            test.headerOrRefuse().instruments(),
            visitor -> JournalReader.read(Disk.REAL, test.source(), visitor));
  }

  /** What was recorded, shown row by row. */
  private interface Recorded {
    void show(JournalVisitor visitor) throws IOException;
  }

  private static WorkedOut workedOut(
      Assembly assembly, List<Header.Columns> instruments, Recorded recorded) throws IOException {
    List<List<Channel>> channels = instruments.stream().map(Header.Columns::channels).toList();
    Replay test =
        new Replay(assembly.acquisition(channels), assembly.pointMaker(), assembly.plan());
    if (assembly.plate().isEmpty()) {
      recorded.show(new ReplayVisitor(test));
      return workedOut(test, Collections.emptySortedMap());
    }
    Replay plate =
        new Replay(assembly.uncorrected(channels), assembly.pointMaker(), assembly.plan());
    recorded.show(JournalVisitor.both(new ReplayVisitor(test), new ReplayVisitor(plate)));
    return workedOut(test, plate.means());
  }

  private static WorkedOut workedOut(Replay replay, SortedMap<Integer, PointMeans> readings) {
    List<LiftPoint> points = replay.points();
    return new WorkedOut(points, replay.loud(points), readings);
  }

  /** For people: what was tested. */
  static String title(Plan plan) {
    Plan.Part part = plan.part();
    String named =
        String.join(
            ", ",
            List.of(part.head(), part.port()).stream().filter(text -> !text.isBlank()).toList());
    return (named.isEmpty() ? "Lift test" : named)
        + ": "
        + plan.port().word()
        + ", "
        + plan.direction().word();
  }

  private static String title(PlateMounted plate) {
    return "Plate " + plate.name() + ": " + plate.direction().word();
  }
}
