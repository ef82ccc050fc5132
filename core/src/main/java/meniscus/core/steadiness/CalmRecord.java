package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import meniscus.core.refusal.Refusal;
import meniscus.core.settle.Blocks;
import meniscus.core.settle.GaugeTransfer;
import meniscus.core.settle.SpectrumFit;

/**
 * The bench's own fluctuation, from runs on orifice plates: what a port's fluctuation is judged
 * against and what makes averages short. Relative to the mean flow; interpolated over flow.
 */
public final class CalmRecord {

  /** Of block lengths: a clock's jitter and drift, but no other rate of reading. Our own choice. */
  private static final double SAME_CLOCK = 0.05;

  /** Blocks that show how sharp a jump is: a cycle of 50 Hz [s]. */
  static final double SHORT_SECONDS = 0.02;

  /** Test pressures nearer than a tenth are one: between two of a ladder lies more. Our choice. */
  private static final double SAME_PRESSURE = 0.1;

  private final List<CalmRun> runs;
  private final double readingSeconds;
  private final double seenToHertz;
  private final Map<Long, Optional<CalmModel>> models = new HashMap<>();
  private final GaugeTransfer gauge;
  private final Map<Object, CalmRecord> others = new HashMap<>(); // narrower ones, other gauges

  private CalmRecord(List<CalmRun> runs, GaugeTransfer gauge) {
    this.runs = List.copyOf(runs);
    this.gauge = gauge;
    readingSeconds = readingSeconds(runs);
    seenToHertz = runs.stream().mapToDouble(CalmRecord::seenToHertz).max().orElse(0);
  }

  /**
   * @param runs at least one; each some tens of seconds long
   */
  public static CalmRecord of(List<CalmRun> runs) {
    if (runs.isEmpty()) {
      throw new Refusal("a calm record needs at least one run on a plate");
    }
    return new CalmRecord(runs, GaugeTransfer.NONE);
  }

  /** The same of recordings whose times are those of arrival, in chunks perhaps. */
  public CalmRecord onOwnClocks() {
    return of(runs.stream().map(CalmRun::onOwnClock).toList());
  }

  public List<CalmRun> runs() {
    return runs;
  }

  /**
   * The runs of one range, direction and test pressure. What no run was taken at is left open
   * rather than answered with nothing: first the pressure, then the range, then the direction.
   */
  public synchronized CalmRecord at(String range, String direction, double testPressurePa) {
    List<CalmRun> left = narrowed(runs, run -> run.direction().equals(direction));
    left = narrowed(left, run -> run.range().equals(range));
    left =
        narrowed(left, run -> Math.abs(run.testPressurePa() / testPressurePa - 1) < SAME_PRESSURE);
    List<CalmRun> kept = left;
    return left.size() == runs.size()
        ? this
        : others.computeIfAbsent(left, k -> new CalmRecord(kept, gauge));
  }

  /**
   * How loud a fast channel that stays on the bench was at this flow, with a plate in the port's
   * place; empty where no run tells.
   *
   * @param mean flow in the unit of the runs' means
   */
  public Optional<BandLevels.Level> loud(Band band, double mean) {
    return PlateLevels.at(runs, band, mean);
  }

  /** The same, read from a gauge of which more is known than the runs tell. */
  public synchronized CalmRecord through(GaugeTransfer known) {
    return known.equals(gauge)
        ? this
        : others.computeIfAbsent(known, k -> new CalmRecord(runs, known));
  }

  /**
   * How long a run must be, read as this one was, to be of any use: the rhythm of the fluctuation
   * takes some tens of blocks, and a block of a slow gauge is a reading.
   *
   * @return NaN when it has too few readings to say [s]
   */
  public static double shortestSeconds(CalmRun run) {
    return (CalmModel.FEWEST_BLOCKS + 1) * CalmModel.blocks(run, Blocks.SHORTEST_SECONDS).seconds();
  }

  /** How long a run should be, read as this one was, for its rhythm to be told well [s]. */
  public static double properSeconds(CalmRun run) {
    return SpectrumFit.SHORTEST * CalmModel.blocks(run, Blocks.SHORTEST_SECONDS).seconds();
  }

  private static List<CalmRun> narrowed(List<CalmRun> runs, Predicate<CalmRun> fits) {
    List<CalmRun> left = new ArrayList<>(runs);
    left.removeIf(fits.negate());
    return left.isEmpty() ? runs : left;
  }

  /**
   * Works out beforehand what a judge will ask for: some seconds of work, better done before a test
   * than at its first lift point.
   *
   * @param stabilitySeconds settled time that a verdict needs [s]
   * @return whether anything can be learned from it: not where every run is too short
   */
  public boolean prepare(double stabilitySeconds) {
    Blocks blocks = new Blocks(Blocks.SHORTEST_SECONDS, 128);
    for (int i = 0; i < 64; i++) {
      blocks.add(i * readingSeconds, 0);
    }
    if (Double.isNaN(blocks.seconds())) {
      return true; // readings too far apart for the usual blocks: learned when they come
    }
    Blocks fine = new Blocks(SHORT_SECONDS, 128);
    for (int i = 0; i < 64; i++) {
      fine.add(i * readingSeconds, 0);
    }
    Optional<CalmModel> learned = model(blocks.seconds(), blocks.perBlock());
    if (learned.isEmpty()) {
      return false;
    }
    CalmModel model = learned.get();
    CalmJumps jumps = model.jumps(fine.seconds(), fine.perBlock());
    model.couldHide(
        CalmLimits.stated(stabilitySeconds, Integer.MAX_VALUE, blocks.seconds()), jumps, 1);
    model.couldHide(CalmLimits.stated(0, Integer.MAX_VALUE, blocks.seconds()), jumps, 1);
    return true;
  }

  /**
   * The record seen through blocks of one length. Learning it takes long, so lengths that differ by
   * no more than the jitter of a sample clock share one: that of as many readings of the calm runs.
   * Empty where no run is long enough for such blocks: a reading is then judged without a record.
   */
  synchronized Optional<CalmModel> model(double blockSeconds, int readings) {
    double own = readings * readingSeconds;
    double grain = Math.pow(10, Math.floor(Math.log10(blockSeconds)) - 2);
    double rounded =
        Math.abs(blockSeconds / own - 1) < SAME_CLOCK
            ? own
            : Math.round(blockSeconds / grain) * grain;
    long key = Math.round(rounded * 1e6) * 65536 + Math.min(readings, 65535);
    return models.computeIfAbsent(key, k -> CalmModel.learned(runs, rounded, readings, gauge));
  }

  /** Median time between the readings of the calm runs [s]; NaN when they have but one. */
  private static double readingSeconds(List<CalmRun> runs) {
    double[] steps =
        runs.stream()
            .map(CalmRun::seconds)
            .filter(t -> t.length > 1)
            .mapToDouble(t -> (t[t.length - 1] - t[0]) / (t.length - 1))
            .sorted()
            .toArray();
    return steps.length == 0 ? Double.NaN : steps[steps.length / 2];
  }

  /**
   * The fastest fluctuation that the bench's gauges have shown [Hz]: slow air looks like a slow
   * gauge, but what a gauge has shown on one plate it can show elsewhere.
   */
  double seenToHertz() {
    return seenToHertz;
  }

  private static double seenToHertz(CalmRun run) {
    double[] x = run.values();
    double mean = Arrays.stream(x).filter(Double::isFinite).average().orElse(0);
    double squares = 0;
    double differences = 0;
    int pairs = 0;
    for (int i = 1; i < x.length; i++) {
      if (Double.isFinite(x[i]) && Double.isFinite(x[i - 1])) {
        squares += (x[i] - mean) * (x[i] - mean);
        differences += 0.5 * (x[i] - x[i - 1]) * (x[i] - x[i - 1]);
        pairs++;
      }
    }
    double step = readingSeconds(List.of(run));
    return pairs == 0 ? 0 : halfPowerHertz(squares / pairs, differences / pairs, step);
  }

  /**
   * Half-power frequency of readings that correlate like a first-order lag; half the rate of
   * reading when they hardly correlate.
   *
   * @param variance of the readings
   * @param neighbours half the mean square of the difference of neighbours
   * @param step time between readings [s]
   */
  static double halfPowerHertz(double variance, double neighbours, double step) {
    double nyquist = 0.5 / step;
    double r = variance > 0 ? 1 - neighbours / variance : 0;
    if (Double.isNaN(nyquist) || r < 0.5 || neighbours == 0) {
      return nyquist;
    }
    return Math.min(nyquist, -Math.log(Math.min(r, 1 - 1e-9)) / (2 * Math.PI * step));
  }
}
