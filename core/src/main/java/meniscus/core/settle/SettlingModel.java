package meniscus.core.settle;

/**
 * How a bench comes to rest after a change: exponentially, with a time that is known only so well.
 * The amplitude is always fitted anew.
 *
 * @param seconds the typical time after which 37 % is left [s]
 * @param logSpread standard deviation of the logarithm of that time from rung to rung; 0.15 for a
 *     bench that was measured, 0.9 when nothing is known
 * @param absentChance chance that a reading begins settled
 */
public record SettlingModel(double seconds, double logSpread, double absentChance) {

  /** Nothing known: from a stiff small plenum to a slow column of water. */
  public static final SettlingModel UNKNOWN = new SettlingModel(0.7, 0.9, 0.25); // our own choice

  public SettlingModel {
    if (!(seconds > 0 && logSpread > 0 && absentChance > 0 && absentChance < 1)) {
      throw new IllegalArgumentException(
          "a settling time and its spread are above zero, the chance of none between 0 and 1");
    }
  }

  /** Density over the logarithm of the time, with a tenth kept for times that were not expected. */
  double density(double tau) {
    return 0.9 * normal(Math.log(tau / seconds), logSpread)
        + 0.1 * normal(Math.log(tau / UNKNOWN.seconds), 2 * UNKNOWN.logSpread);
  }

  private static double normal(double x, double sd) {
    return Math.exp(-0.5 * x * x / sd / sd) / sd / Math.sqrt(2 * Math.PI);
  }
}
