package meniscus.core.settle;

import java.util.ArrayList;
import java.util.List;

/**
 * Fits level, settling and noise together, block by block. Each noise shape held possible has its
 * own filter; each settling time and amplitude scale is weighed within it. The posterior of the
 * level is a mixture of Student distributions, so doubt about the noise and about the rest of the
 * settling is in the interval, and looking at it after every block does not spoil it.
 *
 * <p>Model: block mean = level + A·exp(-t/τ) + noise; level flat, A ~ N(0, g·σ²) with g one of two
 * scales or no settling at all, τ weighed by {@link SettlingModel}, σ² inverse gamma.
 */
public final class LevelBank {

  // Our own choices, between time and what no longer changes an interval by a thousandth.
  private static final double FORGOTTEN = 25; // natural logarithm of the odds: never comes back
  private static final double IDLE = 9; // likewise; one in 8000 weighs nothing now
  private static final int IDLE_LOOKS = 6; // while data grow by a fifth
  private static final int PRUNE_FROM = 30; // blocks; before, odds still swing
  private static final double LEAST_WEIGHT = 1e-4; // of the likeliest
  private static final int TAUS = 14; // from 0.12 to 9.5 s
  private static final double TAU_RATIO = 1.4; // two settlings nearer than this are alike in noise
  private static final double SHORTEST_TAU = 0.12; // s; shorter is over within a block
  private static final double SETTLED = 1e-9; // of the amplitude: nothing is left

  private final List<ShapeFit> shapes = new ArrayList<>();
  private final double[] taus = new double[TAUS];
  private final double[] logTaus = new double[TAUS];
  private final double[] values = new double[TAUS + 3];
  private final double absent;
  private final double blockSeconds;
  private final StudentMixture mixture = new StudentMixture();
  private double reference = Double.NaN;
  private int blocks;
  private int looks;
  private final List<Candidate> found = new ArrayList<>();

  /**
   * @param blockSeconds length of a block [s]
   * @param readings readings in a block
   */
  public LevelBank(NoisePrior prior, SettlingModel settling, double blockSeconds, int readings) {
    this.blockSeconds = blockSeconds;
    absent = settling.absentChance();
    double total = 0;
    for (int j = 0; j < TAUS; j++) {
      taus[j] = Math.max(SHORTEST_TAU, 0.5 * blockSeconds) * Math.pow(TAU_RATIO, j);
      logTaus[j] = settling.density(taus[j]);
      total += logTaus[j];
    }
    for (int j = 0; j < TAUS; j++) {
      logTaus[j] = Math.log(logTaus[j] / total);
    }
    for (NoisePrior.Weighted weighted : prior.shapes()) {
      BlockNoise noise = new BlockNoise(weighted.shape(), blockSeconds, readings);
      shapes.add(new ShapeFit(weighted, noise, TAUS));
    }
  }

  /** Adds the next block; NaN when it holds no readings. */
  public void add(double mean) {
    double t = blocks++ * blockSeconds;
    if (Double.isNaN(mean)) {
      shapes.forEach(shape -> shape.filter().skip());
      return;
    }
    if (Double.isNaN(reference)) {
      reference = mean;
    }
    values[0] = mean - reference;
    values[1] = 1;
    for (int j = 0; j < TAUS; j++) {
      values[j + 2] = Math.exp(-t / taus[j]);
    }
    values[TAUS + 2] = t;
    for (ShapeFit shape : shapes) {
      shape.filter().step(values);
    }
  }

  /** Blocks with readings so far. */
  public int count() {
    return shapes.get(0).filter().count;
  }

  /**
   * What is known now, after at least three blocks.
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
      top = c.tau() == Candidate.RAMP ? top : Math.max(top, c.logWeight());
    }
    return summed(candidates, top, halfWidth);
  }

  /** Shapes and settlings that count; those that count little are looked at now and then only. */
  private List<Candidate> candidates(double relativeTo, double floorVariance) {
    found.clear();
    double best = Double.NEGATIVE_INFINITY;
    double seconds = Math.max(blocks, 1) * blockSeconds;
    boolean all = looks++ % IDLE_LOOKS == 0;
    for (ShapeFit shape : shapes) {
      if (all || !shape.idle()) {
        shape.weigh(all, relativeTo, floorVariance, logTaus, absent, seconds, best, found);
        best = Math.max(best, shape.best());
      }
    }
    if (all) {
      for (ShapeFit shape : shapes) {
        shape.idle(shape.best() < best - IDLE);
      }
      if (count() >= PRUNE_FROM) {
        double least = best - FORGOTTEN;
        shapes.removeIf(shape -> shape.best() < least);
      }
    }
    return found;
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
      double w = Math.exp(Math.min(c.logWeight() - top, 600));
      if (w < LEAST_WEIGHT) {
        continue;
      }
      if (c.tau() == Candidate.RAMP) {
        ramp += w;
        climb += w * c.amplitude();
        movingChance += w * c.beyond(halfWidth);
        continue;
      }
      total += w;
      mixture.add(w, c.level(), c.scale(), c.degrees());
      familiar += c.prior().familiar() ? w : 0;
      sigma += w * c.sigma();
      if (c.tau() >= 0) {
        double left = Math.exp(-now / taus[c.tau()]);
        moving += w * Math.abs(c.amplitude()) * left;
        movingChance += left > SETTLED ? w * c.beyond(halfWidth / left) : 0;
      }
      likeliest = likeliest == null || c.logWeight() > likeliest.logWeight() ? c : likeliest;
    }
    double mean = mixture.mean();
    boolean settles = likeliest.tau() >= 0;
    double half = mixture.halfWidth(mean);
    return new Level(
        reference + mean,
        half / quantile(likeliest.degrees()),
        likeliest.degrees(),
        half,
        moving / total,
        movingChance / (total + ramp),
        ramp > total ? climb / ramp : 0,
        settles ? likeliest.amplitude() : 0,
        settles ? taus[likeliest.tau()] : 0,
        sigma / total,
        familiar / total,
        likeliest.prior().shape());
  }

  /** 97.5 % point of Student's distribution: Cornish and Fisher's expansion. */
  private static double quantile(double nu) {
    double z = 1.959963984540054;
    double z3 = z * z * z;
    return z + (z3 + z) / (4 * nu) + (5 * z3 * z * z + 16 * z3 + 3 * z) / (96 * nu * nu);
  }
}
