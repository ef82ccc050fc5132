package meniscus.core.pipeline;

import java.util.Arrays;
import meniscus.core.bench.Use;

/** The newest reading of each use, when it came and when it was taken. */
final class Latest {

  private static final int USES = Use.values().length; // a place for each

  private final double[] values = new double[USES];
  private final double[] swings = new double[USES];
  private final double[] arrived = new double[USES];
  private final double[] taken = new double[USES];
  private final int[] times = new int[USES];
  private final boolean[] lost = new boolean[USES];

  /** All is forgotten. */
  void clear() {
    Arrays.fill(values, Double.NaN);
    Arrays.fill(swings, 0);
    Arrays.fill(arrived, Double.NEGATIVE_INFINITY);
    Arrays.fill(taken, Double.NEGATIVE_INFINITY);
    Arrays.fill(times, 0);
    Arrays.fill(lost, false);
  }

  /** Stands without being read, as a value typed into the bench file. */
  void stands(Use use, double si) {
    values[use.ordinal()] = si;
  }

  void read(Use use, double si, double arrivedSeconds) {
    values[use.ordinal()] = si;
    arrived[use.ordinal()] = arrivedSeconds;
    times[use.ordinal()]++;
    lost[use.ordinal()] = false;
  }

  void takenAt(Use use, double seconds) {
    taken[use.ordinal()] = seconds;
  }

  void swings(Use use, double si) {
    swings[use.ordinal()] = si;
  }

  void isLost(Use use) {
    lost[use.ordinal()] = true;
  }

  /** [SI]; NaN when there is none or it is out of range. */
  double value(Use use) {
    return values[use.ordinal()];
  }

  /** How far a person saw it swing to either side [SI]; 0 when it stood still or is not typed. */
  double swing(Use use) {
    return swings[use.ordinal()];
  }

  /** [s]; negative infinity when never. */
  double arrivedSeconds(Use use) {
    return arrived[use.ordinal()];
  }

  /** As far as the stream's clock tells [s]. */
  double takenSeconds(Use use) {
    return taken[use.ordinal()];
  }

  /** How often it was read. */
  int times(Use use) {
    return times[use.ordinal()];
  }

  boolean lost(Use use) {
    return lost[use.ordinal()];
  }
}
