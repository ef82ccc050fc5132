package meniscus.core.pipeline;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.DoubleFunction;
import java.util.function.Function;
import java.util.function.Supplier;
import meniscus.core.air.AirState;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.PortFlow.Surroundings;
import meniscus.core.bench.Use;
import meniscus.core.flow.ReferenceState;
import meniscus.core.lift.Beside;
import meniscus.core.remark.Remark;
import meniscus.core.settle.GaugeTransfer;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.steadiness.Judged;
import meniscus.core.steadiness.Judgement;
import meniscus.core.steadiness.SignalJudge;
import meniscus.core.time.Moment;

/**
 * The samples of one rung: the judge of the flow, and 100 ms blocks of all else that the point's
 * budget needs.
 */
public final class RungWindow {

  static final double BLOCK_SECONDS = 0.1; // our own choice, as long as the shortest of Blocks

  /**
   * The judge is asked this often: faster than anyone reads, and the same when worked out again.
   */
  private static final int JUDGE_EVERY_BLOCKS = 3;

  /**
   * An hour of blocks. Beyond it two neighbours become one: a rung that is left open overnight
   * takes no more memory.
   */
  private static final int MOST_BLOCKS = 36_000;

  /**
   * How a window is averaged.
   *
   * @param judge target, cap, calm record
   * @param reference what the flow is reported for
   */
  record Rules(JudgeSettings judge, ReferenceState reference) {
    /** A calm record is of two gauges: it says nothing of one beside a reading that stands. */
    Rules withoutCalm() {
      return new Rules(judge.withoutCalm(), reference);
    }

    Rules through(GaugeTransfer gauge) {
      return new Rules(judge.through(gauge), reference);
    }

    Rules averaged(JudgeSettings.Averaging how) {
      return new Rules(judge.averaged(how), reference);
    }

    Rules asBefore() {
      return new Rules(judge.asBefore(), reference);
    }
  }

  private final Rules rules;
  private final Moment began;
  private final SignalJudge judge;
  private final Function<Moment, List<Remark>> silent;
  private final Supplier<Optional<Remark>> frozen;
  private final List<Use> byEye;
  private final DoubleFunction<List<Beside>> beside;
  private final List<Block> blocks = new ArrayList<>();
  private SampleSink samples = (seconds, area) -> {};
  private Block block;
  private long closed;
  private Judgement judgement;
  private Optional<Remark> stoodStill = Optional.empty();
  private boolean movesAgain;

  /** Is shown each flow sample of a window. */
  @FunctionalInterface
  public interface SampleSink {
    void sample(double seconds, double areaM2);

    /**
     * A window opens: what was shown of one before it is none of this one's.
     *
     * @param began since when samples belong to it
     */
    default void anew(Moment began) {
      // Only who gathers samples must know.
    }
  }

  /**
   * @param silent which instruments of the air have gone silent at a moment
   * @param frozen which gauge of a pressure stands still that should not
   * @param byEye which of drop and test pressure a person reads
   * @param beside what was measured beside a flow of this mean effective area so far
   */
  RungWindow(
      Rules rules,
      Moment began,
      Function<Moment, List<Remark>> silent,
      Supplier<Optional<Remark>> frozen,
      List<Use> byEye,
      DoubleFunction<List<Beside>> beside) {
    this.byEye = byEye;
    this.beside = beside;
    this.silent = silent;
    this.frozen = frozen;
    this.rules = rules;
    this.began = began;
    this.judge = new SignalJudge(rules.judge());
    this.judgement = judge.judgement();
    this.block = new Block(began.seconds());
  }

  /** One flow sample. */
  void sample(
      double seconds,
      double areaM2,
      double dropPa,
      double pressurePa,
      double pressureRate,
      Surroundings air) {
    closeBlockBefore(seconds);
    samples.sample(seconds, areaM2);
    block.add(dropPa, pressurePa, pressureRate, air);
    if (byEye.size() == 2) {
      judgement = Judgement.of(ReadByEye.once(seconds, areaM2));
      keep(block);
    } else {
      judge.sample(seconds, areaM2);
    }
  }

  /**
   * Why what comes now cannot be averaged with what came before, though nothing is wrong with
   * either; empty where it can.
   */
  public Optional<BreakOff> torn() {
    double torn = byEye.size() == 2 ? 0 : judge.tornForSeconds();
    if (torn > 0) {
      return Optional.of(new BreakOff.NothingRead(torn));
    }
    return movesAgain ? Optional.of(new BreakOff.MovesAgain()) : Optional.empty();
  }

  /** The least that the flow can move by, for the steps of its gauges [m²]. */
  void quantum(double areaM2) {
    judge.quantum(areaM2);
  }

  /** How far the columns swing to either side at the sample just taken [Pa]. */
  void swing(double dropHalfSwingPa, double pressureHalfSwingPa) {
    if (dropHalfSwingPa > 0) {
      block.dropSwing += dropHalfSwingPa;
    }
    if (pressureHalfSwingPa > 0) {
      block.pressureSwing += pressureHalfSwingPa;
    }
  }

  /** How well drop and pressure of the sample just taken are brought to one moment [s]. */
  void aligned(double standardUncertaintySeconds) {
    block.alignment += standardUncertaintySeconds;
  }

  /** A moment without a value: overload, or the test pressure is not above zero. */
  void dropped(double seconds) {
    closeBlockBefore(seconds);
    judge.sample(seconds, Double.NaN);
  }

  void lift(double seconds, double liftM) {
    if (Double.isFinite(liftM)) {
      block.addLift(liftM);
    }
  }

  /** Shows the samples from here on to someone else as well, as the calm record needs them. */
  public void show(SampleSink sink) {
    samples = sink;
    sink.anew(began);
  }

  /** What is to be known of the value: that it was read by eye, and the reasons of the verdict. */
  public List<Remark> remarks() {
    List<Remark> remarks = new ArrayList<>();
    if (readByEye()) {
      remarks.add(ReadByEye.remark(byEye));
    }
    remarks.addAll(judged().why());
    return remarks;
  }

  /** What is missing at the bench and does not keep the rung from being taken. */
  List<Remark> missing(Moment at) {
    return silent.apply(at);
  }

  /** What was measured beside the flow of these means. */
  public List<Beside> beside(PointMeans means) {
    return beside.apply(means.effectiveAreaM2());
  }

  /** True when a person reads drop or test pressure: its steadiness cannot be seen. */
  boolean readByEye() {
    return !byEye.isEmpty();
  }

  public Moment began() {
    return began;
  }

  /** What could be said at the end of the last complete block. */
  public Judged judged() {
    return judgement.judged();
  }

  /** The same, as far as it is worked out. */
  public Judgement judgement() {
    return judgement;
  }

  /**
   * The means over the part of the window that the judge's average covers.
   *
   * @return empty while there is no mean
   */
  public Optional<PointMeans> means() {
    Judged judged = judged();
    if (judged.mean().isEmpty()) {
      return Optional.empty();
    }
    Block sum = new Block(judged.fromSeconds());
    for (Block each : blocks) {
      if (each.startSeconds >= judged.fromSeconds() - BLOCK_SECONDS / 2) {
        sum.addAll(each);
      }
    }
    if (sum.count == 0) {
      return Optional.empty();
    }
    double area = judged.mean().getAsDouble();
    double flow = rules.reference().volumeFlow(area);
    double n = sum.count;
    return Optional.of(
        new PointMeans(
            judged.toSeconds() - judged.fromSeconds(),
            new PointMeans.Pressures(
                sum.drop / n,
                sum.pressure / n,
                sum.pressureRate / n,
                halfSwing(Use.ELEMENT_DROP, sum.dropSwing / n),
                halfSwing(Use.TEST_PRESSURE, sum.pressureSwing / n),
                sum.alignment / n),
            new PointMeans.Air(
                new AirState(sum.roomK / n, sum.roomPa / n, sum.humidity / n),
                sum.plenumK / n,
                sum.elementK / n,
                sum.assumed > 0),
            new PointMeans.Flow(
                area,
                flow,
                judged.standardError().isPresent()
                    ? Math.abs(judged.standardError().getAsDouble() * (area == 0 ? 0 : flow / area))
                    : Double.POSITIVE_INFINITY,
                judged.degreesOfFreedom()),
            sum.liftCount > 0
                ? OptionalDouble.of(sum.lift / sum.liftCount)
                : OptionalDouble.empty(),
            OptionalDouble.empty()));
  }

  private OptionalDouble halfSwing(Use use, double seen) {
    return byEye.contains(use) ? OptionalDouble.of(seen) : OptionalDouble.empty();
  }

  private void closeBlockBefore(double seconds) {
    if (seconds - block.startSeconds < BLOCK_SECONDS) {
      return;
    }
    keep(block);
    if (closed % JUDGE_EVERY_BLOCKS == 0) {
      judgement =
          byEye.isEmpty()
              ? judge.judgement()
              : Judgement.of(ReadByEye.besideAGauge(judge.judged()));
      judgement = rules.judge.overBench() ? judgement.saying(RungWindow::ofAFlow) : judgement;
      minded();
    }
    double whole = Math.floor((seconds - block.startSeconds) / BLOCK_SECONDS);
    block = new Block(block.startSeconds + whole * BLOCK_SECONDS);
  }

  /** What the judge says of a reading's last decimal means nothing of a flow that is worked out. */
  private static Remark ofAFlow(Remark remark) {
    List<Double> numbers = remark.numbers();
    return switch (remark.kind()) {
      case STUCK -> Remark.of(Remark.Kind.FLOW_STANDS_STILL, numbers.get(1));
      case STUCK_SOMEWHERE -> Remark.of(Remark.Kind.FLOW_STANDS_STILL, numbers.get(0));
      default -> remark;
    };
  }

  /** A mean with a gauge in it that stands still is wrong however steady it looks. */
  private void minded() {
    Optional<Remark> now = frozen.get();
    movesAgain = stoodStill.isPresent() && now.isEmpty();
    stoodStill = now.or(() -> stoodStill);
    stoodStill.ifPresent(gauge -> judgement = Judgement.of(judged().faulty(gauge)));
  }

  private void keep(Block complete) {
    closed++;
    blocks.add(complete);
    if (blocks.size() == MOST_BLOCKS) {
      joinNeighbours();
    }
  }

  private void joinNeighbours() {
    for (int i = 0; i < MOST_BLOCKS / 2; i++) {
      Block joined = blocks.get(2 * i);
      joined.addAll(blocks.get(2 * i + 1));
      blocks.set(i, joined);
    }
    blocks.subList(MOST_BLOCKS / 2, MOST_BLOCKS).clear();
  }

  /** Sums over one block, or over several. */
  private static final class Block {
    final double startSeconds;
    int count;
    double drop;
    double pressure;
    double pressureRate;
    double dropSwing;
    double pressureSwing;
    double alignment;
    double roomK;
    double roomPa;
    double humidity;
    double plenumK;
    double elementK;
    int assumed;
    int liftCount;
    double lift;

    Block(double startSeconds) {
      this.startSeconds = startSeconds;
    }

    void add(double dropPa, double pressurePa, double rate, Surroundings air) {
      count++;
      drop += dropPa;
      pressure += pressurePa;
      pressureRate += rate;
      roomK += air.room().temperatureK();
      roomPa += air.room().pressurePa();
      humidity += air.room().relativeHumidity();
      plenumK += air.plenumTemperatureK();
      elementK += air.elementTemperatureK();
      assumed += air.assumed() ? 1 : 0;
    }

    void addLift(double liftM) {
      liftCount++;
      lift += liftM;
    }

    void addAll(Block other) {
      count += other.count;
      drop += other.drop;
      pressure += other.pressure;
      pressureRate += other.pressureRate;
      dropSwing += other.dropSwing;
      pressureSwing += other.pressureSwing;
      alignment += other.alignment;
      roomK += other.roomK;
      roomPa += other.roomPa;
      humidity += other.humidity;
      plenumK += other.plenumK;
      elementK += other.elementK;
      assumed += other.assumed;
      liftCount += other.liftCount;
      lift += other.lift;
    }
  }
}
