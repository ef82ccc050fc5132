package meniscus.recorder.session;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.Consumer;
import meniscus.core.finding.Confirmation;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.pipeline.Replay;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.folder.NotWritten;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.folder.WorkedOut;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
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
    return TestFolder.finalise(
        lock,
        mirror,
        mirrorTrouble,
        assembly.plan().units(),
        title(assembly.plan()),
        new TestFolder.PointsOf() {
          @Override
          public WorkedOut of(Recovered test) throws IOException {
            return workedOut(test, assembly);
          }

          @Override
          public OptionalInt apart(Recovered test) {
            return assembly.bench().fastInstrument();
          }

          @Override
          public byte[] plan(Recovered test) throws IOException {
            return planOf(test, assembly);
          }
        });
  }

  /** The copy of the plan stays as it was, unless rungs were added while the test ran. */
  private static byte[] planOf(Recovered test, Assembly assembly) throws IOException {
    Plan plan = assembly.plan();
    List<Rung> ladder = Confirmation.added(plan.ladder(), test.events());
    return ladder.size() == plan.ladder().size()
        ? test.headerOrRefuse().plan()
        : PlanFile.text(plan.with(ladder)).getBytes(StandardCharsets.UTF_8);
  }

  /** What a finished folder comes to, worked out again with what an assembly holds. */
  public static WorkedOut workedOut(TestFolder folder, Assembly assembly) throws IOException {
    Replay replay = replay(assembly, folder.instruments());
    folder.replay(new ReplayVisitor(replay));
    return workedOut(replay);
  }

  /** Where rows are lost the points in the journal stand: the rest cannot be averaged again. */
  private static WorkedOut workedOut(Recovered test, Assembly assembly) throws IOException {
    if (test.lostRows() > 0) {
      return WorkedOut.standing(test);
    }
    Replay replay = replay(assembly, test.headerOrRefuse().instruments());
    JournalReader.read(Disk.REAL, test.source(), new ReplayVisitor(replay));
    return workedOut(replay);
  }

  private static WorkedOut workedOut(Replay replay) {
    List<LiftPoint> points = replay.points();
    return new WorkedOut(points, replay.loud(points));
  }

  private static Replay replay(Assembly assembly, List<Header.Columns> instruments) {
    return new Replay(
        assembly.acquisition(instruments.stream().map(Header.Columns::channels).toList()),
        assembly.pointMaker(),
        assembly.plan());
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
}
