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

  /**
   * Belief that air unlike the calm record has its own noise over the bench's; the rest is left to
   * what contradicts the record. By trial, readings of 20 s: of bursts over a blower's wander (seed
   * 9201) intervals hold 189 of 200, and 93 of 100 of air of two rhythms (seed 9305). Without it
   * 127 of 150 (seed 4242) and 97; with rhythms of one decay or swing alone, and 0.6, 183 of 200.
   */
  private static final double OVER = 0.85;

  /** Variance of a port's own noise over the bench's: less is within the record's own scatter. */
  private static final double[] OVER_TIMES = {1, 4, 16, 64};

  private static final double OVER_GRID = 0.16; // (ln 4)²/12: evenly spread from one to the next

  /** Rhythm of a port's own noise, with its share of belief: leaning to slow noise, as above. */
  private record Own(double weight, List<NoiseShape.Term> terms) {
    Own(double weight, NoiseShape.Term term) {
      this(weight, List.of(term));
    }

    static Own ofTwo(double weight, double slowShare, double slowSeconds) {
      return new Own(
          weight,
          List.of(
              NoiseShape.Term.decaying(1 - slowShare, 0.12),
              NoiseShape.Term.decaying(slowShare, slowSeconds)));
    }
  }

  // Fewer than in unknown(), for each is held possible in four sizes: seven decays and 18 swings
  // held no more.
  private static final List<Own> OWN =
      List.of(
          new Own(0.06, NoiseShape.Term.white(1)),
          new Own(0.07, NoiseShape.Term.decaying(1, 0.05)),
          new Own(0.10, NoiseShape.Term.decaying(1, 0.15)),
          new Own(0.13, NoiseShape.Term.decaying(1, 0.45)),
          new Own(0.18, NoiseShape.Term.decaying(1, 1.3)),
          new Own(0.14, NoiseShape.Term.decaying(1, 3.5)),
          Own.ofTwo(0.05, 0.15, 1.3),
          Own.ofTwo(0.05, 0.15, 3),
          Own.ofTwo(0.05, 0.4, 1.3),
          Own.ofTwo(0.05, 0.4, 3),
          // Of plenum, hose and gauge: damping over critical is 1/(2π hertz decay), 0.64 and 0.27.
          new Own(0.02, NoiseShape.Term.swinging(1, 0.25 / 0.8, 0.8)),
          new Own(0.02, NoiseShape.Term.swinging(1, 0.25 / 1.6, 1.6)),
          new Own(0.02, NoiseShape.Term.swinging(1, 0.25 / 3.2, 3.2)),
          new Own(0.02, NoiseShape.Term.swinging(1, 0.6 / 0.8, 0.8)),
          new Own(0.02, NoiseShape.Term.swinging(1, 0.6 / 1.6, 1.6)),
          new Own(0.02, NoiseShape.Term.swinging(1, 0.6 / 3.2, 3.2)));

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

  /**
   * This prior, or rather: air of its own rhythm over the noise that the bench has anyway. A port
   * adds to the blower's wander, it does not take it away; and how large that is the calm record
   * knows, while half a minute of rough air hides it.
   *
   * @param bench shape of the calm record, through its gauge
   * @param gauge of both
   * @param level expected variance of a block mean of the bench alone, relative to the square of
   *     the mean, given the mean
   * @param logLevelVariance how well that is known
   */
  public NoisePrior orOver(
      NoiseShape bench, GaugeTransfer gauge, DoubleUnaryOperator level, double logLevelVariance) {
    List<Weighted> all = new ArrayList<>();
    for (Own own : OWN) {
      for (double times : OVER_TIMES) {
        all.add(
            new Weighted(
                bench.with(behind(own.terms, gauge.lagSeconds()), times),
                OVER * own.weight / OVER_TIMES.length,
                mean -> level.applyAsDouble(mean) * (1 + times),
                logLevelVariance + OVER_GRID,
                false));
      }
    }
    for (Weighted one : shapes) {
      all.add(
          new Weighted(
              one.shape, (1 - OVER) * one.weight, one.level, one.logLevelVariance, one.familiar));
    }
    return new NoisePrior(all);
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
              known(one) ? one.level : familiar.get(0).level,
              one.logLevelVariance,
              false));
    }
    return new NoisePrior(all);
  }

  private static List<NoiseShape.Term> behind(List<NoiseShape.Term> terms, double lagSeconds) {
    return terms.stream().map(term -> term.behind(lagSeconds)).toList();
  }

  private static boolean known(Weighted one) {
    return Double.isFinite(one.logLevelVariance);
  }

  private static void add(List<Weighted> shapes, double weight, NoiseShape shape) {
    shapes.add(new Weighted(shape, weight, mean -> Double.NaN, Double.POSITIVE_INFINITY, false));
  }
}
