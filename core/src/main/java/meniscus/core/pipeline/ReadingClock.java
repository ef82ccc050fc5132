package meniscus.core.pipeline;

import meniscus.core.time.StreamClock;

/** When each reading of one stream was taken, from when it arrived. */
interface ReadingClock {

  /**
   * The next reading.
   *
   * @param arrival when it arrived [s]; never falls
   * @param steps how many samples further it is than the one before, where the instrument numbers
   *     them; else 1
   * @return when it was taken [s]; never falls, never later than the arrival
   */
  double sampled(double arrival, long steps);

  /**
   * A mean step from moment to moment that is shorter is none of the instrument's [s]: nothing is
   * to be divided by it. Infinite while no moments are good enough.
   */
  double leastStepSeconds();

  /** Standard uncertainty of a moment against those of another instrument [s]. */
  double standardUncertaintySeconds();

  /** Usual time from arrival to arrival [s]; NaN when not known. */
  double spacingSeconds();

  /** A clock of the stream's own. */
  static ReadingClock ofStream() {
    StreamClock clock = new StreamClock();
    return new ReadingClock() {
      @Override
      public double sampled(double arrival, long steps) {
        return clock.sampled(arrival, steps);
      }

      @Override
      public double leastStepSeconds() {
        return clock.isEven() ? 0.5 * clock.periodSeconds() : Double.POSITIVE_INFINITY;
      }

      @Override
      public double standardUncertaintySeconds() {
        return clock.standardUncertaintySeconds();
      }

      @Override
      public double spacingSeconds() {
        return clock.spacingSeconds();
      }
    };
  }

  /** Whatever arrives was taken then. */
  static ReadingClock ofArrival() {
    return new ReadingClock() {
      @Override
      public double sampled(double arrival, long steps) {
        return arrival;
      }

      @Override
      public double leastStepSeconds() {
        return 0;
      }

      @Override
      public double standardUncertaintySeconds() {
        return 0;
      }

      @Override
      public double spacingSeconds() {
        return Double.NaN;
      }
    };
  }
}
