package meniscus.core.finding;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.hipparchus.distribution.continuous.FDistribution;
import org.hipparchus.distribution.continuous.TDistribution;
import org.hipparchus.linear.Array2DRowRealMatrix;
import org.hipparchus.linear.CholeskyDecomposition;
import org.hipparchus.linear.MatrixUtils;
import org.hipparchus.linear.RealMatrix;

/**
 * Where a straight line begins to fall: y = c up to x = b, y = c − k·(x − b) beyond, k ≥ 0, fitted
 * by generalised least squares with a known covariance.
 *
 * <p>The statistic is the fall of the weighted sum of squares against a constant, the largest over
 * all b tried. Its distribution when there is no fall depends on where the points lie, so the limit
 * is found by simulation for these very points, with a fixed seed: the same data give the same
 * answer on every machine. Critical values of usual sweeps stand in docs/figures.md.
 *
 * <p>b is tried from the second to the last but one place: two places must speak for the constant.
 * Points nearer than {@value #SAME_PLACE} are one place: a pressure taken up and down is one. What
 * else may move y with a known doubt (a slope, a drift) belongs into the covariance.
 */
final class BreakpointFit {

  static final int FEWEST_POINTS = 5; // two for the constant, two for the fall, one more

  // Of an e-fold of pressure: how well a blower is set.
  private static final double SAME_PLACE = 0.02;

  // Our own choice: the limit of 1 % is known to 7 % of that chance, the same each time.
  private static final int STEPS_BETWEEN_POINTS = 12;
  private static final int SIMULATED = 20_000;
  private static final long SEED = 20_260_301L;

  private final double[] x;
  private final double degreesOfFreedom;
  private final double[][] whitener;
  private final double[] constant;
  private final List<Candidate> candidates = new ArrayList<>();

  /**
   * @param at b
   * @param direction unit vector of the fall, whitened and freed of the constant
   * @param length of that vector before it was made a unit vector
   */
  private record Candidate(double at, double[] direction, double length) {}

  /**
   * @param statistic against the critical value
   * @param at b, best
   * @param low end of its 95 % interval
   * @param high end of its 95 % interval
   * @param slope k
   * @param level c
   */
  record Fit(double statistic, double at, double low, double high, double slope, double level) {}

  /**
   * @param x rising, {@value #FEWEST_POINTS} or more
   * @param covariance of y
   * @param degreesOfFreedom behind it
   */
  BreakpointFit(double[] x, double[][] covariance, double degreesOfFreedom) {
    this.x = x.clone();
    this.degreesOfFreedom = Math.min(1e5, degreesOfFreedom);
    this.whitener = inverseOfRoot(covariance);
    this.constant = unit(times(whitener, filled(x.length, 1)));
    double[] places = places(x);
    for (int i = 1; i < places.length - 2; i++) {
      for (int step = 0; step < STEPS_BETWEEN_POINTS; step++) {
        add(places[i] + (places[i + 1] - places[i]) * step / STEPS_BETWEEN_POINTS);
      }
    }
    add(places[places.length - 2]);
  }

  /** Different places, rising. */
  static double[] places(double[] rising) {
    List<Double> places = new ArrayList<>();
    for (double value : rising) {
      if (places.isEmpty() || value - places.get(places.size() - 1) > SAME_PLACE) {
        places.add(value);
      }
    }
    return places.stream().mapToDouble(Double::doubleValue).toArray();
  }

  private void add(double b) {
    double[] fall = new double[x.length];
    for (int i = 0; i < x.length; i++) {
      fall[i] = -Math.max(0, x[i] - b);
    }
    double[] white = withoutConstant(times(whitener, fall));
    double length = Math.sqrt(dot(white, white));
    candidates.add(new Candidate(b, unit(white), length));
  }

  Fit fit(double[] y) {
    double[] white = times(whitener, y);
    double[] scores = candidates.stream().mapToDouble(c -> score(c, white)).toArray();
    int best = 0;
    for (int i = 1; i < scores.length; i++) {
      best = scores[i] > scores[best] ? i : best;
    }
    double allowed = new FDistribution(1, degreesOfFreedom).inverseCumulativeProbability(0.95);
    int low = best;
    int high = best;
    for (int i = 0; i < scores.length; i++) {
      if (scores[best] - scores[i] <= allowed) {
        low = Math.min(low, i);
        high = Math.max(high, i);
      }
    }
    Candidate at = candidates.get(best);
    double slope = Math.max(0, dot(at.direction, white)) / at.length;
    return new Fit(
        scores[best],
        at.at,
        candidates.get(low).at,
        candidates.get(high).at,
        slope,
        level(y, at.at, slope));
  }

  /**
   * The largest fall at the highest x that the data leave room for at 95 %, wherever it begins
   * [units of y].
   */
  double couldHide(double[] y) {
    double[] white = times(whitener, y);
    double allowed = new TDistribution(degreesOfFreedom).inverseCumulativeProbability(0.95);
    double highest = x[x.length - 1];
    return candidates.stream()
        .mapToDouble(c -> (dot(c.direction, white) + allowed) / c.length * (highest - c.at))
        .max()
        .orElseThrow();
  }

  /** Limit that the statistic exceeds with this chance when nothing falls. */
  double critical(double chance) {
    Random random = new Random(SEED);
    double[] statistics = new double[SIMULATED];
    double[] noise = new double[x.length];
    for (int trial = 0; trial < SIMULATED; trial++) {
      for (int i = 0; i < noise.length; i++) {
        noise[i] = random.nextGaussian();
      }
      double largest = 0;
      for (Candidate candidate : candidates) {
        largest = Math.max(largest, score(candidate, noise));
      }
      statistics[trial] = largest / scale(random);
    }
    Arrays.sort(statistics);
    return statistics[(int) Math.ceil((1 - chance) * SIMULATED) - 1];
  }

  /** χ²/ν of an estimated variance, by Wilson and Hilferty's (1931) cube of a normal. */
  private double scale(Random random) {
    double share = 2 / (9 * degreesOfFreedom);
    double root = 1 - share + random.nextGaussian() * Math.sqrt(share);
    return Math.max(1e-3, root * root * root);
  }

  private static double score(Candidate candidate, double[] white) {
    double along = dot(candidate.direction, white);
    return along > 0 ? along * along : 0;
  }

  /** Generalised mean of what is left when the fall is taken out. */
  private double level(double[] y, double b, double slope) {
    double[] left = new double[x.length];
    for (int i = 0; i < x.length; i++) {
      left[i] = y[i] + slope * Math.max(0, x[i] - b);
    }
    double[] ones = times(whitener, filled(x.length, 1));
    return dot(ones, times(whitener, left)) / dot(ones, ones);
  }

  private double[] withoutConstant(double[] white) {
    double along = dot(constant, white);
    double[] rest = white.clone();
    for (int i = 0; i < rest.length; i++) {
      rest[i] -= along * constant[i];
    }
    return rest;
  }

  private static double[][] inverseOfRoot(double[][] covariance) {
    RealMatrix lower =
        new CholeskyDecomposition(new Array2DRowRealMatrix(covariance), 1e-9, 0).getL();
    return MatrixUtils.inverse(lower).getData();
  }

  private static double[] times(double[][] matrix, double[] vector) {
    double[] product = new double[vector.length];
    for (int i = 0; i < vector.length; i++) {
      product[i] = dot(matrix[i], vector);
    }
    return product;
  }

  private static double dot(double[] a, double[] b) {
    double sum = 0;
    for (int i = 0; i < a.length; i++) {
      sum += a[i] * b[i];
    }
    return sum;
  }

  private static double[] unit(double[] vector) {
    double length = Math.sqrt(dot(vector, vector));
    return Arrays.stream(vector).map(v -> v / length).toArray();
  }

  private static double[] filled(int size, double value) {
    double[] vector = new double[size];
    Arrays.fill(vector, value);
    return vector;
  }
}
