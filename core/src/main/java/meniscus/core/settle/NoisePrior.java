package meniscus.core.settle;

import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleUnaryOperator;

/**
 * What is held possible of the noise before the first reading.
 *
 * @param shapes shapes with their weights
 */
public record NoisePrior(List<Weighted> shapes) {

  /**
   * @param weight share of belief, above 0
   * @param logLevelVariance how well the variance of a block mean is known beforehand: variance of
   *     its logarithm; infinite when nothing is known
   * @param level expected variance of a block mean relative to the square of the mean, given the
   *     mean; NaN when nothing is known
   * @param familiar true for the shape of the calm record
   */
  public record Weighted(
      NoiseShape shape,
      double weight,
      DoubleUnaryOperator level,
      double logLevelVariance,
      boolean familiar) {}

  public NoisePrior {
    shapes = List.copyOf(shapes);
  }

  /**
   * No calm record: white, decaying, two time scales, swinging; sizes unknown. Weights lean towards
   * slow noise, which a short look cannot rule out and which costs most when it is overlooked.
   */
  public static NoisePrior unknown() {
    // Weights are our own choice: even over the kinds, then leaning to slow noise until coverage of
    // noise of 2 s no longer rose (seeds below 1000).
    List<Weighted> shapes = new ArrayList<>();
    double[] decays = {0.05, 0.1, 0.2, 0.35, 0.6, 1, 1.7, 2.9, 5};
    double[] weights = {0.06, 0.07, 0.08, 0.09, 0.12, 0.15, 0.18, 0.15, 0.10};
    add(shapes, 0.06, NoiseShape.of(NoiseShape.Term.white(1)));
    for (int i = 0; i < decays.length; i++) {
      add(shapes, 0.44 * weights[i], NoiseShape.of(NoiseShape.Term.decaying(1, decays[i])));
      for (double share : new double[] {0.08, 0.25, 0.6}) {
        add(
            shapes,
            0.20 * weights[i] / 3,
            NoiseShape.of(
                NoiseShape.Term.white(1 - share), NoiseShape.Term.decaying(share, decays[i])));
      }
    }
    for (double fast : new double[] {0.1, 0.25}) {
      for (double slow : new double[] {1, 2, 4}) {
        for (double share : new double[] {0.15, 0.4}) {
          add(
              shapes,
              0.20 / 12,
              NoiseShape.of(
                  NoiseShape.Term.decaying(1 - share, fast),
                  NoiseShape.Term.decaying(share, slow)));
        }
      }
    }
    for (double hertz : new double[] {0.5, 0.75, 1.1, 1.6, 2.4, 3.6}) {
      for (double swings : new double[] {0.4, 1, 3}) {
        add(shapes, 0.10 / 18, NoiseShape.of(NoiseShape.Term.swinging(1, swings / hertz, hertz)));
      }
    }
    return new NoisePrior(shapes);
  }

  /** All shapes as a gauge shows them. */
  public NoisePrior through(GaugeTransfer gauge) {
    return new NoisePrior(
        shapes.stream()
            .map(
                one ->
                    new Weighted(
                        one.shape.through(gauge),
                        one.weight,
                        one.level,
                        one.logLevelVariance,
                        one.familiar))
            .toList());
  }

  /** Few shapes, enough to see where settling ends. */
  public static NoisePrior rough() {
    List<Weighted> shapes = new ArrayList<>();
    add(shapes, 0.25, NoiseShape.of(NoiseShape.Term.white(1)));
    for (double decay : new double[] {0.15, 0.6, 2.5}) {
      add(shapes, 0.25, NoiseShape.of(NoiseShape.Term.decaying(1, decay)));
    }
    return new NoisePrior(shapes);
  }

  /** This prior as what is left when the familiar shapes do not fit. */
  public NoisePrior withFamiliar(List<Weighted> familiar, double weight) {
    List<Weighted> all = new ArrayList<>();
    for (Weighted one : familiar) {
      all.add(new Weighted(one.shape, weight * one.weight, one.level, one.logLevelVariance, true));
    }
    for (Weighted one : shapes) {
      all.add(
          new Weighted(
              one.shape,
              (1 - weight) * one.weight,
              familiar.get(0).level,
              Double.POSITIVE_INFINITY,
              false));
    }
    return new NoisePrior(all);
  }

  private static void add(List<Weighted> shapes, double weight, NoiseShape shape) {
    shapes.add(new Weighted(shape, weight, mean -> Double.NaN, Double.POSITIVE_INFINITY, false));
  }
}
