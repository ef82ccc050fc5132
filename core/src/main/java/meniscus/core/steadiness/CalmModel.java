package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.DoubleUnaryOperator;
import meniscus.core.refusal.Refusal;
import meniscus.core.settle.Blocks;
import meniscus.core.settle.Level;
import meniscus.core.settle.LevelBank;
import meniscus.core.settle.NoisePrior;
import meniscus.core.settle.NoiseShape;
import meniscus.core.settle.NoiseSimulator;
import meniscus.core.settle.SettlingModel;
import meniscus.core.settle.SpectrumFit;
import meniscus.core.settle.Whitener;

/** What calm runs say of the bench's noise: its shape, its size over flow, its limits. */
final class CalmModel {

  /** Sizes of calm runs are held to differ by about this much until many runs say otherwise. */
  private static final double USUAL_JITTER = 0.08;

  private static final double USUAL_DEGREES = 12;
  private static final int FEWEST_BLOCKS = 40;
  private static final int MOST_BLOCKS = 100_000;
  private static final double FAMILIAR = 0.95;
  private static final int[] STRETCHES = {
    40, 50, 64, 80, 100, 125, 160, 200, 250, 320, 400, 500, 640, 800, 1000, 1200
  };
  private static final int MOST_POINTS = 1000;

  /** Few, for limits of jumps take long to draw: a quick look, and the usual 20 s. */
  private static final int[] JUMP_STRETCHES = {100, 240, 480, 960};

  private final List<Sized> sizes;
  private final NoiseShape shape;
  private final NoiseSimulator simulator;
  private final Whitener whitener;
  private final int slow;
  private final double jitter;
  private final double fastJitter;
  private final double degrees;
  private final double seconds;
  private final double blockSeconds;
  private final Map<Integer, CalmLimits> limits = new HashMap<>();
  private final Map<Integer, CalmLimits.Jumps> jumps = new HashMap<>();

  /**
   * One run: its mean, the logarithm of its block deviation and of the deviation inside blocks,
   * both relative to the mean.
   */
  private record Sized(double mean, double logBlock, double logFast) {}

  private CalmModel(
      List<Sized> sizes,
      NoiseShape shape,
      double blockSeconds,
      int readings,
      double seconds,
      int blocksPerRun) {
    this.sizes = sizes;
    this.shape = shape;
    this.blockSeconds = blockSeconds;
    this.seconds = seconds;
    simulator = new NoiseSimulator(shape, blockSeconds, readings);
    whitener = new Whitener(shape, blockSeconds, readings);
    slow = Math.max(1, (int) Math.round(1 / blockSeconds));
    int runs = sizes.size();
    degrees = USUAL_DEGREES + runs - 1;
    double expected = 0.5 / blocksPerRun;
    jitter = jitter(sizes.stream().mapToDouble(Sized::logBlock).toArray(), expected);
    fastJitter = jitter(sizes.stream().mapToDouble(Sized::logFast).toArray(), 0);
  }

  static CalmModel learned(List<CalmRun> runs, double blockSeconds, int readings) {
    List<double[]> relative = new ArrayList<>();
    List<Double> means = new ArrayList<>();
    List<Double> fast = new ArrayList<>();
    double total = 0;
    for (CalmRun run : runs) {
      Blocks blocks = blocks(run, blockSeconds);
      if (blocks.size() < FEWEST_BLOCKS) {
        continue;
      }
      Rest rest = Rest.of(blocks, settled(run));
      relative.add(rest.relative);
      means.add(rest.mean);
      fast.add(rest.logFast);
      total += rest.relative.length * blocks.seconds();
    }
    if (relative.isEmpty()) {
      throw new Refusal("no calm run is long enough: each needs some tens of seconds");
    }
    NoiseShape shape = SpectrumFit.of(scaled(relative), blockSeconds, readings);
    Whitener whitener = new Whitener(shape, blockSeconds, readings);
    List<Sized> sizes = new ArrayList<>();
    int blocksPerRun = 0;
    for (int i = 0; i < relative.size(); i++) {
      double[] white = whitener.whiten(relative.get(i));
      double sum = 0;
      int count = 0;
      for (double w : white) {
        if (!Double.isNaN(w)) {
          sum += w * w;
          count++;
        }
      }
      sizes.add(new Sized(means.get(i), 0.5 * Math.log(sum / (count - 1) + 1e-30), fast.get(i)));
      blocksPerRun += count / relative.size();
    }
    return new CalmModel(sizes, shape, blockSeconds, readings, total, blocksPerRun);
  }

  /** When a run has come to rest, should it have been recorded from a change on [s]. */
  private static double settled(CalmRun run) {
    Blocks blocks = blocks(run, Blocks.SHORTEST_SECONDS);
    if (blocks.size() < FEWEST_BLOCKS) {
      return Double.NEGATIVE_INFINITY;
    }
    LevelBank bank =
        new LevelBank(
            NoisePrior.rough(), SettlingModel.UNKNOWN, blocks.seconds(), blocks.perBlock());
    double scale = Double.MIN_NORMAL;
    for (int i = 0; i < blocks.size(); i++) {
      bank.add(blocks.mean(i));
      scale = Double.isNaN(blocks.mean(i)) ? scale : Math.max(scale, Math.abs(blocks.mean(i)));
    }
    Level level = bank.level(0.005 * scale, scale, 1e-18 * scale * scale);
    double left = Math.abs(level.settlingAtStart()) / level.blockDeviation();
    return left < 3
        ? Double.NEGATIVE_INFINITY
        : blocks.start(0) + level.settlingSeconds() * Math.log(left / 0.3);
  }

  private static Blocks blocks(CalmRun run, double shortestSeconds) {
    Blocks blocks = new Blocks(shortestSeconds, MOST_BLOCKS);
    double[] t = run.seconds();
    double[] v = run.values();
    for (int i = 0; i < t.length; i++) {
      blocks.add(t[i], v[i]);
    }
    blocks.finish();
    return blocks;
  }

  /** A run less its level and settling, over its level. */
  private record Rest(double mean, double[] relative, double logFast) {

    static Rest of(Blocks blocks, double settled) {
      int from = 0;
      while (from < blocks.size() / 2 && blocks.start(from) < settled) {
        from++;
      }
      double sum = 0;
      int count = 0;
      double within = 0;
      int inside = 0;
      for (int i = from; i < blocks.size(); i++) {
        if (!Double.isNaN(blocks.mean(i))) {
          sum += blocks.mean(i);
          count++;
        }
        if (!Double.isNaN(blocks.variance(i))) {
          within += blocks.variance(i);
          inside++;
        }
      }
      double mean = sum / count;
      double[] relative = new double[blocks.size() - from];
      for (int i = from; i < blocks.size(); i++) {
        relative[i - from] = blocks.mean(i) / mean - 1;
      }
      double fast =
          inside == 0 ? Double.NaN : 0.5 * Math.log(within / inside / mean / mean + 1e-30);
      return new Rest(mean, relative, fast);
    }
  }

  private static List<double[]> scaled(List<double[]> runs) {
    List<double[]> scaled = new ArrayList<>();
    for (double[] run : runs) {
      double sum = 0;
      int count = 0;
      for (double v : run) {
        sum += Double.isNaN(v) ? 0 : v * v;
        count += Double.isNaN(v) ? 0 : 1;
      }
      double by = 1 / Math.sqrt(sum / count + 1e-30);
      double[] one = new double[run.length];
      for (int i = 0; i < one.length; i++) {
        one[i] = run[i] * by;
      }
      scaled.add(one);
    }
    return scaled;
  }

  /** How far sizes differ from run to run, beyond chance, drawn towards what is usual. */
  private double jitter(double[] logs, double chance) {
    double rest = 0;
    int runs = 0;
    for (int i = 0; i < logs.length; i++) {
      if (!Double.isNaN(logs[i])) {
        double off = logs[i] - interpolated(sizes.get(i).mean, logs);
        rest += off * off;
        runs++;
      }
    }
    double own = Math.max(0, rest - chance * Math.max(runs - 1, 0));
    return Math.sqrt(
        (USUAL_DEGREES * USUAL_JITTER * USUAL_JITTER + own)
            / (USUAL_DEGREES + Math.max(runs - 1, 0)));
  }

  /** Logarithm of a size at a flow: runs weighed by nearness of the logarithm of their mean. */
  private double interpolated(double mean, double[] logs) {
    double sum = 0;
    double total = 0;
    double at = Math.log(Math.abs(mean) + 1e-300);
    for (int i = 0; i < logs.length; i++) {
      double d = (Math.log(Math.abs(sizes.get(i).mean) + 1e-300) - at) / 0.15;
      double w = Math.exp(-0.5 * Math.min(d * d, 600 + d)) + 1e-200;
      if (!Double.isNaN(logs[i])) {
        sum += w * logs[i];
        total += w;
      }
    }
    return sum / total;
  }

  Whitener whitener() {
    return whitener;
  }

  int slow() {
    return slow;
  }

  /** Deviation of one block mean over the level, at a flow. */
  double block(double mean) {
    return Math.exp(interpolated(mean, sizes.stream().mapToDouble(Sized::logBlock).toArray()));
  }

  /** Deviation of readings inside a block over the level, at a flow; NaN when not known. */
  double fast(double mean) {
    return Math.exp(interpolated(mean, sizes.stream().mapToDouble(Sized::logFast).toArray()));
  }

  /** The longest stretch with limits that fits in so many blocks; 0 when none does. */
  int stretch(int blocks) {
    int longest = 0;
    for (int stretch : STRETCHES) {
      longest = stretch <= blocks ? stretch : longest;
    }
    return longest;
  }

  /** Limit for so many points at most. */
  synchronized CalmLimits.Jumps jumps(int stretch) {
    return jumps.computeIfAbsent(
        Math.min(stretch, MOST_POINTS),
        n -> CalmLimits.Jumps.simulated(simulator, n, new CalmLimits.Spread(jitter, degrees)));
  }

  /** The longest stretch of points for {@link TwoLevels}. */
  int points(int blocks) {
    int longest = 0;
    for (int points : JUMP_STRETCHES) {
      longest = points <= blocks ? points : longest;
    }
    return longest;
  }

  synchronized CalmLimits limits(int stretch) {
    return limits.computeIfAbsent(
        stretch,
        n ->
            CalmLimits.simulated(
                simulator,
                whitener,
                n,
                slow,
                new CalmLimits.Spread(jitter, degrees),
                new CalmLimits.Spread(fastJitter, degrees)));
  }

  /** Draws all limits for stretches of so many blocks and fewer. */
  void prepareLimits(int blocks) {
    Arrays.stream(STRETCHES).filter(n -> n <= blocks).forEach(this::limits);
  }

  /** Draws all limits of jumps for so many points and fewer. */
  void prepareJumps(int points) {
    Arrays.stream(JUMP_STRETCHES).filter(n -> n <= points).forEach(this::jumps);
  }

  /** The record as prior for averaging. */
  NoisePrior prior() {
    DoubleUnaryOperator level = mean -> block(mean) * block(mean);
    double logVariance = 4 * jitter * jitter * (1 + 1.0 / sizes.size());
    double independent = seconds / blockSeconds / simulator.longRunVariance();
    double doubt = Math.sqrt(2 / Math.max(2, 0.1 * independent));
    List<NoisePrior.Weighted> familiar = new ArrayList<>();
    familiar.add(new NoisePrior.Weighted(shape, 2.0 / 3, level, logVariance, true));
    for (int sign = -1; sign <= 1; sign += 2) {
      NoiseShape other = shape.slowScaled(Math.exp(sign * Math.sqrt(3) * doubt), 0.3);
      familiar.add(new NoisePrior.Weighted(other, 1.0 / 6, level, logVariance, true));
    }
    return NoisePrior.unknown().withFamiliar(familiar, FAMILIAR);
  }
}
