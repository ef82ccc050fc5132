package meniscus.core.settle;

import java.util.List;
import org.hipparchus.special.Gamma;

/**
 * One noise shape of a {@link LevelBank} at work: its filter, and the weight of each settling under
 * it. With level flat, A ~ N(0, g·σ²) and σ² inverse gamma the integrals over all three are exact;
 * the level that is left is Student distributed (Gelman and others, Bayesian Data Analysis, chapter
 * 14, from memory).
 */
final class ShapeFit {

  /**
   * Amplitudes held possible, in standard deviations of one block: a valve moved a little, and a
   * blower switched on. Our own choice.
   */
  private static final double[] SCALES = {3, 40};

  /** Share of the settling taken out that may be wrong: no bench settles exactly exponentially. */
  private static final double FORM = 0.1;

  private static final double RAMP = 0.05; // weight of a climb against all else; our own choice
  private static final double ASLEEP = 9; // natural logarithm of the odds: one in 8000
  private static final double NEGLIGIBLE = 12; // likewise, one in 160 000

  private final NoisePrior.Weighted prior;
  private final LevelFilter filter;
  private final double[] logWeights; // of each settling, when all were last looked at
  private double best = Double.NEGATIVE_INFINITY;
  private boolean idle;

  private boolean all;
  private double constant;
  private double alpha;
  private double beta0;
  private double leader;
  private List<Candidate> found;

  ShapeFit(NoisePrior.Weighted prior, BlockNoise noise, int taus) {
    this.prior = prior;
    filter = new LevelFilter(noise, taus + 1);
    logWeights = new double[1 + (taus + 1) * SCALES.length];
  }

  LevelFilter filter() {
    return filter;
  }

  /** Logarithm of the weight of the likeliest settling. */
  double best() {
    return best;
  }

  boolean idle() {
    return idle;
  }

  void idle(boolean weighsLittle) {
    idle = weighsLittle;
  }

  /**
   * Weighs settlings and adds those that count.
   *
   * @param everything look at all of them, not just at those that counted last time
   * @param logTaus logarithm of the weight of each settling time
   * @param absent chance of no settling
   * @param seconds length of all that was seen [s]
   * @param leader logarithm of the weight of the likeliest settling under the shapes before
   */
  void weigh(
      boolean everything,
      double relativeTo,
      double floor,
      double[] logTaus,
      double absent,
      double seconds,
      double leader,
      List<Candidate> into) {
    all = everything;
    this.leader = leader;
    found = into;
    best = Double.NEGATIVE_INFINITY;
    double expected = prior.level().applyAsDouble(relativeTo) * relativeTo * relativeTo;
    boolean known = Double.isFinite(prior.logLevelVariance());
    double alpha0 = known ? 1 / prior.logLevelVariance() : 0.5;
    beta0 = alpha0 * (expected > floor ? expected : floor);
    alpha = alpha0 + 0.5 * (filter.count - 1);
    constant =
        Math.log(prior.weight())
            - 0.5 * filter.logDeterminant
            + Gamma.logGamma(alpha)
            - Gamma.logGamma(alpha0)
            + alpha0 * Math.log(beta0);
    put(0, Candidate.NONE, Math.log(absent), 0, 1, 0, 0);
    double each = Math.log((1 - absent) / SCALES.length);
    int slot = 1;
    for (int j = 0; j < logTaus.length; j++) {
      for (double scale : SCALES) {
        double g = 1 / (scale * scale);
        int i = j + 1;
        put(slot++, j, each + logTaus[j], filter.one[i], filter.own[i] + g, filter.y[i], g);
      }
    }
    int r = logTaus.length + 1;
    double one = 1 / seconds;
    for (double scale : SCALES) {
      double g = 1 / (scale * scale);
      put(
          slot++,
          Candidate.RAMP,
          Math.log(RAMP / SCALES.length),
          filter.one[r] * one,
          filter.own[r] * one * one + g,
          filter.y[r] * one,
          g);
    }
    if (all) {
      for (int i = 0; i < logWeights.length; i++) {
        logWeights[i] -= best;
      }
    }
  }

  /**
   * Solves the two normal equations of level and amplitude.
   *
   * @param logPrior logarithm of the weight beforehand
   * @param c product of constant and regressor
   * @param d square of the regressor, with the amplitude's prior
   * @param e product of regressor and readings
   * @param g precision of the amplitude's prior; 0 for no amplitude
   */
  private void put(int slot, int tau, double logPrior, double c, double d, double e, double g) {
    if (!all && logWeights[slot] < -ASLEEP) {
      return;
    }
    double a = filter.own[0];
    double b = filter.y[0];
    double det = a * d - c * c;
    double level = (d * b - c * e) / det;
    double amplitude = (a * e - c * b) / det;
    double rest = Math.max(0, filter.yy - level * b - amplitude * e);
    double beta = beta0 + 0.5 * rest;
    double logWeight =
        constant + logPrior - 0.5 * Math.log(g > 0 ? det / g : det) - alpha * Math.log(beta);
    if (all) {
      logWeights[slot] = logWeight;
    }
    best = tau == Candidate.RAMP ? best : Math.max(best, logWeight);
    if (logWeight < Math.max(best, leader) - NEGLIGIBLE) {
      return;
    }
    double sigma2 = beta / alpha;
    double form = tau == Candidate.RAMP ? 0 : FORM * amplitude * c / a;
    found.add(
        new Candidate(
            prior,
            tau,
            logWeight,
            level,
            Math.sqrt(sigma2 * d / det + form * form),
            2 * alpha,
            amplitude,
            Math.sqrt(sigma2 * a / det),
            Math.sqrt(sigma2)));
  }
}
