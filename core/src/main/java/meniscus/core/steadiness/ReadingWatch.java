package meniscus.core.steadiness;

import java.math.BigDecimal;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.remark.Remark;
import meniscus.core.remark.Remark.Kind;

/**
 * Minds the instrument rather than the air: dropouts, stuck, saturated and out-of-range readings,
 * the step of resolution, how quickly neighbouring readings can differ.
 */
final class ReadingWatch {

  // Our own choices.
  private static final double LONG_GAP_SECONDS = 1; // as long as slow air remembers
  private static final int LONG_GAP_READINGS = 5; // of a slow gauge, which may miss a few
  private static final double MOST_MISSING = 0.2; // a mean of four in five readings is still one
  private static final double STUCK_SECONDS = 2; // and eight times longer than it stood before
  private static final int STUCK_READINGS = 20; // chance in white noise on fine steps: none
  private static final double MOST_AT_END = 0.02; // share; clipping more moves the mean

  private final OptionalDouble low;
  private final OptionalDouble high;

  private double first = Double.NaN;
  private double last = Double.NaN;
  private double lastSeen = Double.NaN;
  private double longestGap;
  private long readings;
  private long dropped;

  private double value = Double.NaN;
  private double runStart;
  private double mainStart;
  private int run;
  private int longestRun; // of those that ended
  private double longestRunSeconds;
  private int stuckRun;
  private double stuckSeconds;
  private double step = Double.POSITIVE_INFINITY;
  private double quantum = Double.NaN;

  private double mean;
  private double squares;
  private double differences;
  private long neighbours;

  private double top = Double.NEGATIVE_INFINITY;
  private double bottom = Double.POSITIVE_INFINITY;
  private long atTop;
  private long atBottom;
  private long atHigh;
  private long atLow;
  private long outside;

  ReadingWatch(OptionalDouble low, OptionalDouble high) {
    this.low = low;
    this.high = high;
  }

  /** As told; 0 when it was not. */
  double quantum() {
    return Double.isNaN(quantum) ? 0 : quantum;
  }

  /** The last decimal that the readings are written with; where none is told a number tells it. */
  void quantum(double lastDecimal) {
    quantum = lastDecimal;
  }

  void reading(double seconds, double x) {
    if (Double.isNaN(first)) {
      first = seconds;
      lastSeen = seconds;
    }
    last = seconds;
    if (!Double.isFinite(x)) {
      dropped++;
      return;
    }
    longestGap = Math.max(longestGap, seconds - lastSeen);
    follow(seconds, x);
    lastSeen = seconds;
    readings++;
    double d = x - mean;
    mean += d / readings;
    squares += d * (x - mean);
    ends(x);
  }

  private void follow(double seconds, double x) {
    if (x == value) {
      run++;
      if (run > stuckRun) {
        stuckRun = run;
        stuckSeconds = seconds - runStart;
        mainStart = runStart;
      }
      neighbours++;
      return;
    }
    if (!Double.isNaN(value)) {
      double d = Math.abs(x - value);
      step = Math.min(step, d);
      differences += d * d;
      neighbours++;
      if (run > 0 && runStart != mainStart) {
        longestRun = Math.max(longestRun, run);
        longestRunSeconds = Math.max(longestRunSeconds, lastSeen - runStart);
      }
    }
    value = x;
    run = 0;
    runStart = seconds;
  }

  private void ends(double x) {
    if (x > top) {
      top = x;
      atTop = 0;
    }
    if (x < bottom) {
      bottom = x;
      atBottom = 0;
    }
    atTop += x == top ? 1 : 0;
    atBottom += x == bottom ? 1 : 0;
    double near = 1e-6 * Math.max(Math.abs(low.orElse(0)), Math.abs(high.orElse(0)));
    atHigh += high.isPresent() && x >= high.getAsDouble() - near ? 1 : 0;
    atLow += low.isPresent() && x <= low.getAsDouble() + near ? 1 : 0;
    outside +=
        high.isPresent() && x > high.getAsDouble() + near
                || low.isPresent() && x < low.getAsDouble() - near
            ? 1
            : 0;
  }

  double seconds() {
    return last - first;
  }

  double first() {
    return first;
  }

  double last() {
    return last;
  }

  long readings() {
    return readings;
  }

  double variance() {
    return readings < 2 ? 0 : squares / (readings - 1);
  }

  /** Smallest step between two readings; the last decimal while none differed. */
  double resolution() {
    return !Double.isInfinite(step) ? step : Double.isNaN(quantum) ? lastDecimal(value) : quantum;
  }

  boolean moved() {
    return !Double.isInfinite(step);
  }

  /** Share of readings that came as dropped. */
  double missing() {
    return readings + dropped == 0 ? 0 : (double) dropped / (readings + dropped);
  }

  double longestGap() {
    return Math.max(longestGap, Double.isNaN(lastSeen) ? 0 : last - lastSeen);
  }

  /** Variance of a reading as its step from the one before tells it, were the two independent. */
  double neighbourVariance() {
    return neighbours == 0 ? 0 : 0.5 * differences / neighbours;
  }

  /**
   * How long nothing was read, where that is too long to average across [s]; 0 where it is not.
   *
   * @param spacing typical time between moments at which readings come [s]
   */
  double tornFor(double spacing) {
    double gap = longestGap();
    return gap > Math.max(LONG_GAP_SECONDS, LONG_GAP_READINGS * spacing) ? gap : 0;
  }

  /**
   * What is wrong with the instrument.
   *
   * @param spacing typical time between moments at which readings come [s]
   * @param fluctuation expected deviation of a reading over its mean; NaN when not known
   */
  Optional<Remark> fault(double spacing, double fluctuation) {
    double torn = tornFor(spacing);
    if (torn > 0) {
      return fault(Kind.DROPPING_OUT, torn);
    }
    if (missing() > MOST_MISSING && readings + dropped > STUCK_READINGS) {
      return fault(Kind.READINGS_MISSING, 100 * missing());
    }
    if (outside > MOST_AT_END * readings) {
      return fault(Kind.OUTSIDE_THE_RANGE, outside, readings);
    }
    if (Math.max(atHigh, atLow) > Math.max(2, MOST_AT_END * readings)) {
      String end = atHigh > atLow ? "high" : "low";
      return Optional.of(Remark.about(Kind.SATURATED, end, Math.max(atHigh, atLow), readings));
    }
    return clipped().or(() -> stuck(fluctuation));
  }

  private Optional<Remark> clipped() {
    boolean fine = moved() && Math.sqrt(variance()) > 5 * step;
    long most = Math.max(atTop, atBottom);
    boolean whole = stuckRun + 1 >= most; // one unbroken run is called stuck
    return fine && !whole && most > Math.max(10, 0.05 * readings)
        ? Optional.of(
            Remark.about(
                Kind.CLIPPED,
                atTop > atBottom ? "most" : "least",
                most,
                readings,
                atTop > atBottom ? top : bottom))
        : Optional.empty();
  }

  private Optional<Remark> stuck(double fluctuation) {
    double expected =
        Math.max(
            moved() ? Math.sqrt(variance()) : 0,
            Math.abs(mean)
                * (Double.isNaN(fluctuation) ? JudgeSettings.STILLEST_AIR : fluctuation));
    boolean fine = resolution() < expected;
    boolean lasting =
        stuckSeconds > (moved() ? STUCK_SECONDS : 2 * STUCK_SECONDS)
            && stuckRun >= STUCK_READINGS
            && stuckSeconds > 8 * longestRunSeconds;
    if (!fine || !lasting) {
      return Optional.empty();
    }
    return stuckRun == run
        ? fault(Kind.STUCK, value, stuckSeconds, resolution())
        : fault(Kind.STUCK_SOMEWHERE, stuckSeconds, resolution());
  }

  private static Optional<Remark> fault(Kind kind, double... numbers) {
    return Optional.of(Remark.of(kind, numbers));
  }

  /** The last decimal place that a number is written with. */
  private static double lastDecimal(double x) {
    if (x == 0 || !Double.isFinite(x)) {
      return 0;
    }
    double ulp = new BigDecimal(Double.toString(x)).stripTrailingZeros().ulp().doubleValue();
    return Math.min(1, ulp);
  }
}
