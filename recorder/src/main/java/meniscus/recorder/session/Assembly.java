package meniscus.recorder.session;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SortedMap;
import java.util.TreeMap;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.OrificeElement;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.budget.FlowBudget;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.Beside;
import meniscus.core.lift.Plan;
import meniscus.core.lift.SeatReadings;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.core.pipeline.PointMaker;
import meniscus.core.refusal.Refusal;
import meniscus.core.remark.Remark;
import meniscus.core.steadiness.CalmRecord;
import meniscus.core.steadiness.CalmRun;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.uncertainty.Contribution;
import meniscus.drivers.hash.Sha256;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.CalibrationFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.file.PlateFile;
import meniscus.recorder.file.PlateMounted;
import meniscus.recorder.journal.Header;
import meniscus.recorder.signal.CalmFolder;

/**
 * Bench, plan, calibration and calm record of one test, put together from the bytes of their files:
 * the same whether they lie beside the bench file, in a journal or in a finished test folder.
 */
public final class Assembly {

  private final Bench bench;
  private final Optional<PlateMounted> plate;
  private final Plan plan;
  private final Range range;
  private final SortedMap<String, byte[]> files;
  private final double stabilitySeconds;

  private Assembly(
      Bench bench,
      Optional<PlateMounted> plate,
      Plan plan,
      SortedMap<String, byte[]> files,
      double stabilitySeconds) {
    this.bench = bench;
    this.plate = plate;
    this.plan = plan;
    this.range = plan.range().map(bench::range).orElseGet(() -> bench.ranges().get(0));
    this.files = files;
    this.stabilitySeconds = stabilitySeconds;
  }

  /**
   * @param files name within the test folder to content; {@code plate.json} in place of the plan
   *     where a plate stood in the head's
   * @throws meniscus.recorder.file.FileNotAccepted naming the file, the place and what to do
   */
  public static Assembly of(SortedMap<String, byte[]> files) {
    Optional<PlateMounted> plate =
        files.containsKey(Header.PLATE)
            ? Optional.of(PlateFile.parse(Header.PLATE, text(files, Header.PLATE)))
            : Optional.empty();
    return new Assembly(
        BenchFile.parse(Header.BENCH, text(files, Header.BENCH)),
        plate,
        plate
            .map(PlateMounted::plan)
            .orElseGet(() -> PlanFile.parse(Header.PLAN, text(files, Header.PLAN))),
        files,
        JudgeSettings.usual().stabilitySeconds());
  }

  /** The same, content with a verdict on less settled time [s]: slow switching may go unseen. */
  public Assembly withStabilitySeconds(double seconds) {
    return new Assembly(bench, plate, plan, files, seconds);
  }

  public Bench bench() {
    return bench;
  }

  public Plan plan() {
    return plan;
  }

  /** What stood in the head's place; empty where it was a head. */
  public Optional<PlateMounted> plate() {
    return plate;
  }

  public Range range() {
    return range;
  }

  public SortedMap<String, byte[]> files() {
    return files;
  }

  /** The main path, at its beginning. */
  public Acquisition acquisition(List<List<Channel>> channels) {
    Direction way = plan.direction();
    Acquisition path =
        Acquisition.of(bench, range, element(way), way, channels, judge(way), reference());
    Direction other = way.other();
    if (goesBothWays()) {
      path.withOtherWay(Acquisition.flow(bench, element(other), other), () -> judge(other));
    } else if (plan.ladder().stream().anyMatch(rung -> !rung.sweep().plansWay())) {
      throw new Refusal(
          "the plan has lifts with the air going the other way (\"sweep\": \"other_way\"), and"
              + " range \""
              + range.name()
              + "\" is neither calibrated nor tried for leaks "
              + other.word()
              + ": take those lifts out of the plan, or calibrate --direction "
              + other.word());
    }
    return path;
  }

  /** The path of a plate's readings as a calibration takes them. */
  Acquisition uncorrected(List<List<Channel>> channels) {
    return Uncorrected.path(bench, range, plan.direction(), channels, settings());
  }

  /** True where it is known of the bench that it sends the air the other way than the plan. */
  private boolean goesBothWays() {
    Direction other = plan.direction().other();
    return bench.upkeep().calibration(other, range.name()).isPresent()
        || bench.upkeep().leakage(other).isPresent();
  }

  public PointMaker pointMaker() {
    PointMaker made = new PointMaker(plan, range.name(), reference(), budgeted(plan));
    return goesBothWays() ? made.withOtherWay(budgeted(plan.otherWay())) : made;
  }

  private Budgeted budgeted(Plan way) {
    Direction direction = way.direction();
    return new Budgeted(
        FlowBudget.of(bench, calibration(direction), bench.upkeep().leakage(direction), way));
  }

  private record Budgeted(FlowBudget budget) implements PointMaker.MeasuredFlow {
    @Override
    public List<Contribution> contributions(PointMeans means) {
      return budget.contributions(means);
    }

    @Override
    public OptionalDouble liftU95(PointMeans means) {
      return budget.liftU95(means);
    }

    @Override
    public PointMaker.MeasuredFlow onTheSeat(SeatReadings seat) {
      return new Budgeted(budget.onTheSeat(seat));
    }

    @Override
    public List<Beside> beside(PointMeans means, List<Beside> measured) {
      return budget.beside(means, measured);
    }

    @Override
    public List<Remark> remarks(PointMeans means) {
      return budget.remarks(means);
    }
  }

  /** The current calibration of this direction and range, when the bench has one. */
  public Optional<Calibration> calibration() {
    return calibration(plan.direction());
  }

  private Optional<Calibration> calibration(Direction way) {
    return bench
        .upkeep()
        .calibration(way, range.name())
        .map(
            taken -> {
              String name = CalibrationFile.name(taken.sha256());
              byte[] bytes = files.get(name);
              if (bytes == null) {
                throw new Refusal(
                    name
                        + " is missing: the bench file beside it names this calibration. Take it, or"
                        + " the whole folder, from a copy");
              }
              return CalibrationFile.parse(name, bytes, taken.sha256());
            });
  }

  /**
   * Refuses a range that nothing but an equation knows, far outside what that was made for.
   *
   * @throws Refusal with what to do
   */
  void refuseSenselessElement() {
    if (element(plan.direction()) instanceof OrificeElement orifice && orifice.stated().isEmpty()) {
      try {
        orifice.plate().refuseBeyondSense();
      } catch (Refusal senseless) {
        throw new Refusal(
            "range \""
                + range.name()
                + "\": "
                + senseless.getMessage()
                + ". Calibrate it on plates, or state its coefficient in the bench file",
            senseless);
      }
    }
  }

  private FlowElement element(Direction way) {
    return calibration(way).<FlowElement>map(Calibration::element).orElse(range.element());
  }

  private JudgeSettings judge(Direction way) {
    JudgeSettings settings = settings();
    return calmHere(way)
        .filter(record -> record.prepare(stabilitySeconds)) // now, not with the blower on
        .map(settings::withCalm)
        .orElse(settings);
  }

  /** Why the bench's calm record is left out of the judgement; empty where it is not. */
  public Optional<OperatorMessage.CalmLeftOut> calmLeftOut() {
    return calmHere(plan.direction())
        .filter(record -> !record.prepare(stabilitySeconds))
        .map(
            record ->
                new OperatorMessage.CalmLeftOut(
                    range.name(),
                    plan.direction(),
                    record.runs().stream().mapToDouble(CalmRun::lengthSeconds).max().orElse(0),
                    Math.ceil(
                        record.runs().stream()
                            .mapToDouble(CalmRecord::shortestSeconds)
                            .min()
                            .orElse(0))));
  }

  private Optional<CalmRecord> calmHere(Direction way) {
    return calm()
        .map(record -> record.at(range.name(), way.word(), plan.testPressurePa()))
        .map(record -> record.through(range.drop().transfer()));
  }

  /** The bench's calm record, when it has one. */
  private Optional<CalmRecord> calm() {
    SortedMap<String, byte[]> runs = new TreeMap<>();
    files.forEach(
        (name, bytes) -> {
          if (name.startsWith(FolderFiles.CALM)) {
            runs.put(name.substring(FolderFiles.CALM.length()), bytes);
          }
        });
    if (bench.upkeep().calm().isEmpty() || runs.isEmpty()) {
      return Optional.empty();
    }
    refuseOtherRecord(runs);
    try {
      return Optional.of(CalmFolder.of(runs));
    } catch (IOException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  /** CSVs alone are a record too; an index must be the one that the bench file means. */
  private void refuseOtherRecord(SortedMap<String, byte[]> runs) {
    byte[] index = runs.get(CalmFolder.INDEX);
    String known = bench.upkeep().calm().orElseThrow().sha256();
    if (index != null && !Sha256.hex(index).equals(known)) {
      throw new FileNotAccepted(
          "calm/"
              + CalmFolder.INDEX
              + " is not the calm record that the bench file names: put that one back, or take a"
              + " new one with calm");
    }
  }

  private JudgeSettings settings() {
    return JudgeSettings.usual()
        .withTarget(plan.target())
        .withCapSeconds(plan.longestSeconds())
        .withStabilitySeconds(stabilitySeconds)
        .withMainsHertz(bench.site().mainsHz());
  }

  private ReferenceState reference() {
    Plan.Reference asked = plan.reference();
    return new ReferenceState(asked.air(), asked.testPressurePa());
  }

  private static String text(Map<String, byte[]> files, String name) {
    return Optional.ofNullable(files.get(name))
        .map(bytes -> new String(bytes, StandardCharsets.UTF_8))
        .orElseThrow(() -> new Refusal(name + " is missing"));
  }
}
