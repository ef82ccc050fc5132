package meniscus.core.pipeline;

/**
 * The clock of tests up to {@code test/1.1}, kept so that they work out the same; {@link
 * meniscus.core.time.StreamClock} has taken its place.
 *
 * <p>When an instrument that samples evenly took each of its samples, recovered from when its
 * frames arrived. A frame arrives some time after its sample, never before, and often several at
 * once; so the even clock is a straight line through the arrivals, moved to the earliest ones.
 *
 * <p>Until the clock is known, after a gap, and for an instrument that does not sample evenly, the
 * moment of arrival stands. Pure: the same arrivals give the same moments.
 */
final class SampleClock implements ReadingClock {

  /** Arrivals that the period is found from. */
  private static final int LONGEST = 256;

  /** With fewer, a bunch of late ones would pass for the period. */
  private static final int LEAST = 32;

  /** Arrivals among which the earliest is looked for; a lost frame is forgotten after as many. */
  private static final int RECENT = 64;

  /** The line is drawn anew after so many arrivals. */
  private static final int REFIT = 16;

  /** Converters of USB to serial gather bytes for about 16 ms; a loaded computer adds to it [s]. */
  private static final double USUAL_SPREAD_SECONDS = 0.05;

  private final double[] arrivals = new double[LONGEST];
  private long count;
  private long fitted;
  private double origin;
  private double period = Double.NaN;
  private double phase;
  private double spread;
  private double jitter;
  private double last = Double.NEGATIVE_INFINITY;

  @Override
  public double sampled(double arrival, long steps) {
    return sampled(arrival);
  }

  /**
   * The next frame.
   *
   * @param arrival when it arrived [s]; never falls
   * @return when its sample was taken [s], up to a delay that all frames share; never falls, never
   *     later than the arrival
   */
  double sampled(double arrival) {
    if (isEven() && missesFrames(arrival)) {
      forgetTheLine();
    }
    if (count == 0) {
      origin = arrival;
    }
    arrivals[(int) (count % LONGEST)] = arrival;
    count++;
    if (count >= LEAST && count - fitted >= REFIT) {
      fit();
    }
    double moment = arrival;
    if (isEven()) {
      phase = Math.min(phase, arrival - origin - period * (count - 1));
      moment = Math.min(arrival, origin + phase + period * (count - 1));
    }
    last = Math.min(arrival, Math.max(last, moment));
    return last;
  }

  /**
   * Frames are told to be missing where that shows: by a gap, or by one that comes a period late.
   */
  private boolean missesFrames(double arrival) {
    double gap = arrival - arrival(count - 1);
    double late = arrival - origin - phase - period * count;
    return gap > Math.max(2 * USUAL_SPREAD_SECONDS, 3 * period)
        || spread < period / 2 && late > spread + period / 2;
  }

  private void forgetTheLine() {
    count = 0;
    fitted = 0;
    period = Double.NaN;
  }

  /** True when the clock is known. */
  boolean isEven() {
    return !Double.isNaN(period) && spread <= Math.max(USUAL_SPREAD_SECONDS, period / 2);
  }

  /**
   * Standard uncertainty of a moment against those of another instrument [s]: how the arrivals
   * scatter about the even clock; where there is none, a sample may lie anywhere between two
   * arrivals (rectangular, JCGM 100:2008 4.3.7).
   */
  @Override
  public double standardUncertaintySeconds() {
    if (isEven()) {
      return jitter;
    }
    long kept = Math.min(count, LONGEST);
    if (kept < 2) {
      return 0;
    }
    double mean = (arrival(count - 1) - arrival(count - kept)) / (kept - 1);
    return mean / Math.sqrt(12);
  }

  private double arrival(long number) {
    return arrivals[(int) (number % LONGEST)];
  }

  @Override
  public double leastStepSeconds() {
    return 0;
  }

  @Override
  public double spacingSeconds() {
    return Double.NaN;
  }

  /** Least squares through the kept arrivals; the earliest of the recent ones gives the phase. */
  private void fit() {
    fitted = count;
    int kept = (int) Math.min(count, LONGEST);
    long first = count - kept;
    double middle = (kept - 1) / 2.0;
    double sum = 0;
    for (int i = 0; i < kept; i++) {
      sum += (i - middle) * (arrival(first + i) - origin);
    }
    period = 12 * sum / ((double) kept * ((double) kept * kept - 1));
    double least = Double.POSITIVE_INFINITY;
    double most = Double.NEGATIVE_INFINITY;
    double squares = 0;
    double mean = 0;
    int recent = Math.min(kept, RECENT);
    for (long number = count - recent; number < count; number++) {
      double late = arrival(number) - origin - period * number;
      least = Math.min(least, late);
      most = Math.max(most, late);
      mean += late / recent;
    }
    for (long number = count - recent; number < count; number++) {
      double late = arrival(number) - origin - period * number - mean;
      squares += late * late;
    }
    phase = least;
    spread = most - least;
    jitter = Math.sqrt(squares / (recent - 1));
  }
}
