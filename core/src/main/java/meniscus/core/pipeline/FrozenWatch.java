package meniscus.core.pipeline;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Use;
import meniscus.core.quantity.Unit;
import meniscus.core.remark.Remark;
import meniscus.core.steadiness.JudgeSettings;

/**
 * Looks for a gauge that says the same again and again, though it should not: its smallest step is
 * fine against what air does, or its own readings moved by more than that shortly before at the
 * same level. A coarse gauge may stand still for as long as it likes, but for the drop's where the
 * test pressure comes or goes meanwhile. A coarse gauge of the test pressure that froze before the
 * test cannot be told from one that is held well: the dry run says so.
 */
final class FrozenWatch {

  /** A run of equal readings is looked at from this length on [s]: our own choice. */
  private static final double LEAST_SECONDS = 10;

  private static final int LEAST_READINGS = 20; // of a slow gauge: our own choice

  /** A step below this share of the level shows the stillest air within a second or two … */
  private static final double FINE_STEP = 2e-4;

  /** … and gauges are told to be frozen by no run shorter than so many of those before. */
  private static final int LONGER_THAN_BEFORE = 8;

  /** A gauge that turned to and fro by so many steps a reading turns within … */
  private static final double OWN_STEPS = 2;

  /** … so many readings, even where the air is four times as still. */
  private static final int OWN_READINGS = 40;

  /** Own noise is remembered for as many readings [1]. */
  private static final double NOISE_WEIGHT = 0.01;

  /** At another level than this share nearby the air may be stiller. */
  private static final double SAME_LEVEL = 0.25;

  /** A drop stands still beside a test pressure that moved it by so many of its steps. */
  private static final double DEAF_STEPS = 5;

  /** Of the test pressure: less may be a valve that opens while it falls. Our own choice. */
  private static final double DEAF_SHARE = 0.5;

  private final Use use;
  private final Unit unit;
  private final double declaredSi;
  private double value = Double.NaN;
  private double level;
  private double runStart;
  private double now;
  private int run;
  private double longestRun;
  private double step = Double.POSITIVE_INFINITY;
  private double before;
  private double noise;
  private double noiseLevel;
  private double leastBeside = Double.POSITIVE_INFINITY;
  private double mostBeside;

  /**
   * @param use what the gauge shows, for messages
   * @param unit its readings are in
   * @param declaredSi smallest step by the bench file [SI]; 0 when not told
   */
  FrozenWatch(Use use, Unit unit, double declaredSi) {
    this.use = use;
    this.unit = unit;
    this.declaredSi = declaredSi;
  }

  /**
   * The next reading.
   *
   * @param seconds when it arrived
   * @param readSi as received [SI]
   * @param quantitySi less its zero [SI]
   */
  void reading(double seconds, double readSi, double quantitySi) {
    if (!Double.isFinite(readSi) || !Double.isFinite(quantitySi)) {
      return;
    }
    now = seconds;
    if (readSi == value) {
      run++;
      return;
    }
    if (!Double.isNaN(value)) {
      moved(readSi - value);
    }
    value = readSi;
    level = quantitySi;
    run = 1;
    runStart = seconds;
    leastBeside = Double.POSITIVE_INFINITY;
    mostBeside = 0;
  }

  /**
   * The pressure that drives what this gauge shows, at the moment: where it goes from nothing to
   * its aim no drop stands still, however coarse its gauge.
   *
   * @param drivingPa zero subtracted; NaN when over range [Pa]
   */
  void beside(double drivingPa) {
    if (Double.isFinite(drivingPa)) {
      leastBeside = Math.min(leastBeside, Math.max(0, drivingPa));
      mostBeside = Math.max(mostBeside, drivingPa);
    }
  }

  private boolean isDeaf() {
    double share = mostBeside > 0 ? 1 - leastBeside / mostBeside : 0;
    return share >= DEAF_SHARE && share * Math.abs(level) >= DEAF_STEPS * quantum();
  }

  private void moved(double by) {
    if (isFine()) {
      longestRun = Math.max(longestRun, now - runStart);
    }
    step = Math.min(step, Math.abs(by));
    if (!(Math.abs(level - noiseLevel) <= SAME_LEVEL * Math.abs(noiseLevel))) {
      noise = 0;
      noiseLevel = level;
    }
    noise *= Math.pow(1 - NOISE_WEIGHT, run);
    if (by * before < 0) {
      noise += NOISE_WEIGHT * Math.min(Math.abs(by), Math.abs(before));
    }
    before = by;
  }

  private boolean isFine() {
    return quantum() < JudgeSettings.STILLEST_AIR * Math.abs(level);
  }

  /** Smallest step: as declared, else as seen, else the last decimal of the reading [SI]. */
  double quantum() {
    if (declaredSi > 0) {
      return declaredSi;
    }
    return Double.isInfinite(step) ? lastDecimal() : step;
  }

  /** Twelve digits: what a conversion of units leaves behind them is none of the gauge's. */
  private double lastDecimal() {
    if (value == 0 || Double.isNaN(value)) {
      return Double.POSITIVE_INFINITY;
    }
    BigDecimal written = new BigDecimal(unit.fromSi(value)).round(new MathContext(12));
    return Math.abs(unit.toSi(written.stripTrailingZeros().ulp().doubleValue()) - unit.toSi(0));
  }

  /** What stands still that should not. */
  Optional<Remark> frozen() {
    double seconds = now - runStart;
    if (run < LEAST_READINGS || seconds < LEAST_SECONDS) {
      return Optional.empty();
    }
    double quantum = quantum();
    double patience = LEAST_SECONDS * Math.max(1, quantum / (FINE_STEP * Math.abs(level)));
    boolean stillerThanAir =
        isFine() && seconds >= patience && seconds > LONGER_THAN_BEFORE * longestRun;
    boolean stillerThanBefore =
        run >= OWN_READINGS
            && noise >= OWN_STEPS * quantum
            && Math.abs(level - noiseLevel) <= SAME_LEVEL * Math.abs(noiseLevel);
    return stillerThanAir || stillerThanBefore || isDeaf()
        ? Optional.of(remark(seconds, quantum))
        : Optional.empty();
  }

  private Remark remark(double seconds, double quantum) {
    String symbol = unit.symbol();
    return new Remark(
        Remark.Kind.FROZEN,
        List.of(use.word().replace('_', ' '), symbol, symbol),
        List.of(unit.fromSi(value), seconds, Math.abs(unit.fromSi(quantum) - unit.fromSi(0))));
  }
}
