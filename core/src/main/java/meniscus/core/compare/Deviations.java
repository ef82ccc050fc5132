package meniscus.core.compare;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/**
 * Relative deviations of runs from the mean of their side, pooled over sides.
 *
 * @param covariance between columns [1]
 * @param degreesOfFreedom runs less sides
 */
record Deviations(double[][] covariance, double degreesOfFreedom) {

  /** Empty when no side has two runs or more. */
  static Optional<Deviations> of(List<List<Run>> sides) {
    int degrees = sides.stream().mapToInt(side -> Math.max(0, side.size() - 1)).sum();
    if (degrees == 0) {
      return Optional.empty();
    }
    int columns = sides.stream().flatMap(List::stream).findFirst().map(Run::columns).orElseThrow();
    double[][] covariance = new double[columns][columns];
    for (List<Run> side : sides) {
      double[] mean = mean(side);
      for (Run run : side) {
        double[] deviation = new double[columns];
        for (int c = 0; c < columns; c++) {
          deviation[c] = run.values()[c] / mean[c] - 1;
        }
        for (int c = 0; c < columns; c++) {
          for (int d = 0; d < columns; d++) {
            covariance[c][d] += deviation[c] * deviation[d] / degrees;
          }
        }
      }
    }
    return Optional.of(new Deviations(covariance, degrees));
  }

  static double[] mean(List<Run> side) {
    double[] mean = new double[side.get(0).columns()];
    for (Run run : side) {
      for (int c = 0; c < mean.length; c++) {
        mean[c] += run.values()[c] / side.size();
      }
    }
    return mean;
  }

  /** The lifts' part, smoothed over lifts. */
  ScatterProfile profile(double[] lifts) {
    double[][] part = new double[lifts.length][];
    for (int i = 0; i < lifts.length; i++) {
      part[i] = Arrays.copyOf(covariance[i], lifts.length);
    }
    return ScatterProfile.fitted(lifts, part, degreesOfFreedom);
  }

  double variance(int column) {
    return covariance[column][column];
  }
}
