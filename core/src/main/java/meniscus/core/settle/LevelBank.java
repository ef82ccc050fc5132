package meniscus.core.settle;

import java.util.ArrayList;
import java.util.List;
import org.hipparchus.special.Gamma;

/**
 * Fits level, settling and noise together, block by block. Each noise shape held possible has its
 * own filter; each settling time and amplitude scale is weighed within it. The posterior of the
 * level is a mixture of Student distributions, so doubt about the noise and about the rest of the
 * settling is in the interval, and looking at it after every block does not spoil it.
 *
 * <p>Model: block mean = level + A·exp(-t/τ) + noise; level flat, A ~ N(0, g·σ²) with g one of
 * three scales or no settling at all, τ weighed by {@link SettlingModel}, σ² inverse gamma
 * (conjugate: the integrals over level, A and σ² are exact).
 */
public final class LevelBank {

  /** Amplitudes held possible, in standard deviations of one block. */
  private static final double[] SCALES = {3, 40};

  private static final double FORM = 0.1; // share of the settling taken out that may be wrong
  private static final double RAMP = 0.05;
  private static final double FORGOTTEN = 25; // natural logarithm of the odds
  private static final double IDLE = 9;
  private static final int IDLE_LOOKS = 6;
  private static final int PRUNE_FROM = 30;
  private static final double NEGLIGIBLE = 1e-5;
  private static final int RAMP_TAU = -2;

  private final List<Member> members = new ArrayList<>();
  private final double[] taus;
  private final double[] tauWeights;
  private final double[] values;
  private final double absent;
  private final double blockSeconds;
  private final StudentMixture mixture = new StudentMixture();
  private double reference = Double.NaN;
  private int blocks;
  private int looks;

  private static final class Member {
    final NoisePrior.Weighted prior;
    final LevelFilter filter;
    double best = Double.NEGATIVE_INFINITY;
    boolean idle; // weighs too little to be looked at each time

    Member(NoisePrior.Weighted prior, LevelFilter filter) {
      this.prior = prior;
      this.filter = filter;
    }
  }

  /**
   * @param blockSeconds length of a block [s]
   * @param readings readings in a block
   */
  public LevelBank(NoisePrior prior, SettlingModel settling, double blockSeconds, int readings) {
    this.blockSeconds = blockSeconds;
    absent = settling.absentChance();
    double ratio = 1.4;
    int count = 14;
    taus = new double[count];
    tauWeights = new double[count];
    double total = 0;
    for (int j = 0; j < count; j++) {
      taus[j] = Math.max(0.12, 0.5 * blockSeconds) * Math.pow(ratio, j);
      tauWeights[j] = settling.density(taus[j]);
      total += tauWeights[j];
    }
    for (int j = 0; j < count; j++) {
      tauWeights[j] /= total;
    }
    values = new double[count + 3];
    for (NoisePrior.Weighted weighted : prior.shapes()) {
      BlockNoise noise = new BlockNoise(weighted.shape(), blockSeconds, readings);
      members.add(new Member(weighted, new LevelFilter(noise, count + 1)));
    }
  }

  /** Adds the next block; NaN when it holds no readings. */
  public void add(double mean) {
    double t = blocks++ * blockSeconds;
    if (Double.isNaN(mean)) {
      members.forEach(member -> member.filter.skip());
      return;
    }
    if (Double.isNaN(reference)) {
      reference = mean;
    }
    values[0] = mean - reference;
    values[1] = 1;
    for (int j = 0; j < taus.length; j++) {
      values[j + 2] = Math.exp(-t / taus[j]);
    }
    values[taus.length + 2] = t;
    for (Member member : members) {
      member.filter.step(values);
    }
  }

  /** Blocks with readings so far. */
  public int count() {
    return members.get(0).filter.count;
  }

  /**
   * What is known now.
   *
   * @param halfWidth the asked half width, in the unit of the readings: what counts as moving
   * @param relativeTo the mean that calm levels are relative to
   * @param floorVariance variance of a block mean below which nothing is believed (resolution);
   *     above 0
   */
  public Level level(double halfWidth, double relativeTo, double floorVariance) {
    List<Candidate> candidates = candidates(relativeTo, floorVariance);
    double top = Double.NEGATIVE_INFINITY;
    for (Candidate c : candidates) {
      top = c.tau == RAMP_TAU ? top : Math.max(top, c.logWeight);
    }
    return summed(candidates, top, halfWidth);
  }

  /** One shape with one settling: its weight and what it says of the level. */
  private record Candidate(
      Member member,
      int tau,
      double logWeight,
      double level,
      double scale,
      double degrees,
      double amplitude,
      double amplitudeScale,
      double sigma) {}

  private List<Candidate> candidates(double relativeTo, double floorVariance) {
    List<Candidate> found = new ArrayList<>();
    double best = Double.NEGATIVE_INFINITY;
    boolean all = looks++ % IDLE_LOOKS == 0;
    for (Member member : members) {
      if (all || !member.idle) {
        member.best = Double.NEGATIVE_INFINITY;
        weigh(member, relativeTo, floorVariance, found);
        best = Math.max(best, member.best);
      }
    }
    if (!all) {
      return found;
    }
    for (Member member : members) {
      member.idle = member.best < best - IDLE;
    }
    if (count() >= PRUNE_FROM) {
      double least = best - FORGOTTEN;
      members.removeIf(member -> member.best < least);
    }
    return found;
  }

  private void weigh(Member member, double relativeTo, double floor, List<Candidate> found) {
    LevelFilter f = member.filter;
    NoisePrior.Weighted prior = member.prior;
    double expected = prior.level().applyAsDouble(relativeTo) * relativeTo * relativeTo;
    boolean known = Double.isFinite(prior.logLevelVariance());
    double alpha0 = known ? 1 / prior.logLevelVariance() : 0.5;
    double beta0 = alpha0 * (expected > floor ? expected : floor);
    double alpha = alpha0 + 0.5 * (f.count - 1);
    double constant =
        Math.log(prior.weight())
            - 0.5 * f.logDeterminant
            + Gamma.logGamma(alpha)
            - Gamma.logGamma(alpha0)
            + alpha0 * Math.log(beta0);
    double a = f.own[0];
    double b = f.y[0];
    // No settling.
    put(member, -1, constant + Math.log(absent), alpha, beta0, a, 0, 1, b, 0, 0, found);
    double each = Math.log((1 - absent) / SCALES.length);
    ramps(member, constant + Math.log(RAMP / SCALES.length), alpha, beta0, found);
    for (int j = 0; j < taus.length; j++) {
      double weight = constant + each + Math.log(tauWeights[j]);
      for (double scale : SCALES) {
        double g = 1 / (scale * scale);
        put(
            member,
            j,
            weight,
            alpha,
            beta0,
            a,
            f.one[j + 1],
            f.own[j + 1] + g,
            b,
            f.y[j + 1],
            g,
            found);
      }
    }
  }

  /** A steady climb or fall over all that was seen: for the verdict, never for the level. */
  private void ramps(
      Member member, double constant, double alpha, double beta0, List<Candidate> found) {
    LevelFilter f = member.filter;
    int r = taus.length + 1;
    double long1 = 1 / Math.max(blocks * blockSeconds, blockSeconds);
    for (double scale : SCALES) {
      double g = 1 / (scale * scale);
      put(
          member,
          RAMP_TAU,
          constant,
          alpha,
          beta0,
          f.own[0],
          f.one[r] * long1,
          f.own[r] * long1 * long1 + g,
          f.y[0],
          f.y[r] * long1,
          g,
          found);
    }
  }

  private void put(
      Member member,
      int tau,
      double constant,
      double alpha,
      double beta0,
      double a,
      double c,
      double d,
      double b,
      double e,
      double g,
      List<Candidate> found) {
    double det = a * d - c * c;
    double level = (d * b - c * e) / det;
    double amplitude = (a * e - c * b) / det;
    double rest = Math.max(0, member.filter.yy - level * b - amplitude * e);
    double beta = beta0 + 0.5 * rest;
    double logWeight =
        constant - 0.5 * Math.log(det) + (g > 0 ? 0.5 * Math.log(g) : 0) - alpha * Math.log(beta);
    if (logWeight > member.best) {
      member.best = tau == RAMP_TAU ? member.best : logWeight;
    }
    if (logWeight < member.best - 12) {
      return;
    }
    double sigma2 = beta / alpha;
    double form = tau == RAMP_TAU ? 0 : FORM * amplitude * c / a;
    found.add(
        new Candidate(
            member,
            tau,
            logWeight,
            level,
            Math.sqrt(sigma2 * d / det + form * form),
            2 * alpha,
            amplitude,
            Math.sqrt(sigma2 * a / det),
            Math.sqrt(sigma2)));
  }

  private Level summed(List<Candidate> candidates, double top, double halfWidth) {
    mixture.clear();
    double now = blocks * blockSeconds;
    double total = 0;
    double familiar = 0;
    double moving = 0;
    double movingChance = 0;
    double sigma = 0;
    double ramp = 0;
    double climb = 0;
    Candidate likeliest = null;
    for (Candidate c : candidates) {
      double w = Math.exp(Math.min(c.logWeight - top, 600));
      if (w < NEGLIGIBLE) {
        continue;
      }
      if (c.tau == RAMP_TAU) {
        ramp += w;
        climb += w * c.amplitude;
        movingChance += w * beyond(c, halfWidth);
        continue;
      }
      total += w;
      mixture.add(w, c.level, c.scale, c.degrees);
      familiar += c.member.prior.familiar() ? w : 0;
      sigma += w * c.sigma;
      if (c.tau >= 0) {
        double left = Math.exp(-now / taus[c.tau]);
        moving += w * Math.abs(c.amplitude) * left;
        movingChance += left > 1e-9 ? w * beyond(c, halfWidth / left) : 0;
      }
      likeliest = likeliest == null || c.logWeight > likeliest.logWeight ? c : likeliest;
    }
    double mean = mixture.mean();
    boolean settles = likeliest.tau >= 0;
    double half = mixture.halfWidth(mean);
    return new Level(
        reference + mean,
        half / quantile(likeliest.degrees),
        likeliest.degrees,
        half,
        moving / total,
        movingChance / (total + ramp),
        ramp > total ? climb / ramp : 0,
        settles ? likeliest.amplitude : 0,
        settles ? taus[likeliest.tau] : 0,
        sigma / total,
        familiar / total,
        likeliest.member.prior.shape());
  }

  /** Chance that a candidate's amplitude is larger than a limit. */
  private static double beyond(Candidate c, double limit) {
    return StudentMixture.tail((limit - c.amplitude) / c.amplitudeScale, c.degrees)
        + StudentMixture.tail((limit + c.amplitude) / c.amplitudeScale, c.degrees);
  }

  /** 97.5 % point of Student's distribution, Cornish and Fisher's expansion. */
  private static double quantile(double nu) {
    double z = 1.959963984540054;
    double z3 = z * z * z;
    return z + (z3 + z) / (4 * nu) + (5 * z3 * z * z + 16 * z3 + 3 * z) / (96 * nu * nu);
  }
}
