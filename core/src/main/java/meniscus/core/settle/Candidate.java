package meniscus.core.settle;

/**
 * One noise shape with one settling, and what it says of the level.
 *
 * @param tau index of the settling time, or {@link #NONE} or {@link #RAMP}
 * @param logWeight logarithm of its weight, but for a constant common to all
 * @param level settled level less the reference
 * @param scale scale of the level's Student distribution
 * @param degrees its degrees of freedom
 * @param amplitude settling at the start, or climb over all that was seen
 * @param amplitudeScale scale of the amplitude's Student distribution
 * @param sigma deviation of one block mean
 */
record Candidate(
    NoisePrior.Weighted prior,
    int tau,
    double logWeight,
    double level,
    double scale,
    double degrees,
    double amplitude,
    double amplitudeScale,
    double sigma) {

  // Below every index of a settling time.
  static final int NONE = -1;
  static final int RAMP = -2;

  private static final double SURE = 12; // scales off: no chance that counts, whatever the degrees

  /** Chance that the amplitude is larger than a limit. */
  double beyond(double limit) {
    if (limit - Math.abs(amplitude) > SURE * amplitudeScale) {
      return 0;
    }
    return StudentMixture.tail((limit - amplitude) / amplitudeScale, degrees)
        + StudentMixture.tail((limit + amplitude) / amplitudeScale, degrees);
  }
}
