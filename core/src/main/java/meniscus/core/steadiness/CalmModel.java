package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import meniscus.core.settle.Blocks;
import meniscus.core.settle.GaugeTransfer;
import meniscus.core.settle.Level;
import meniscus.core.settle.LevelBank;
import meniscus.core.settle.NoisePrior;
import meniscus.core.settle.NoiseShape;
import meniscus.core.settle.SettlingModel;
import meniscus.core.settle.SpectrumFit;
import meniscus.core.settle.Whitener;

/** What calm runs say of the bench's noise: its shape, its size over flow, its limits. */
final class CalmModel {

  /**
   * Sizes of calm runs are held to differ by about this much until many runs say otherwise: the
   * simulated bench's differ by 0.04 to 0.08; our own choice for want of real ones.
   */
  private static final double USUAL_JITTER = 0.08;

  private static final double USUAL_DEGREES = 12; // calm runs that this belief is worth; our choice
  static final int FEWEST_BLOCKS = 40; // a rhythm needs some tens; our own choice
  private static final int MOST_BLOCKS = 100_000; // of a run: nearly three hours

  /** Belief that a reading's noise is the calm record's; a healthy port's is at one lift in 20. */
  private static final double FAMILIAR = 0.95;

  /** Flows nearer than this share count as one, farther ones hardly: our own choice. */
  private static final double NEAR_FLOW = 0.15;

  private final List<Sized> sizes;
  private final NoiseShape shape;
  private final GaugeTransfer transfer;
  private final double jitter;
  private final double independent; // looks at the mean that all runs together are worth
  private final List<CalmRun> runs;
  private final CalmNoise noise;
  private final CalmNoise.Spread spread;
  private final CalmNoise.Spread within;
  private final double withinOnce; // variance of that logarithm, had it been seen in one block
  private final Map<Integer, CalmLimits> limits = new HashMap<>();
  private final Map<Integer, Double> hidden = new HashMap<>();
  private final Map<Integer, CalmJumps> jumps = new HashMap<>(); // by readings in a short block

  /**
   * One run: its mean, the logarithm of its block deviation and of the deviation inside blocks,
   * both relative to the mean as is the gauge's step; and how far the latter scatters by chance.
   */
  private record Sized(
      double mean, double logBlock, double logFast, double fastOnce, double step) {}

  private CalmModel(Learned from, double blockSeconds, int readings) {
    runs = from.runs;
    sizes = from.sizes;
    shape = from.shape;
    transfer = new GaugeTransfer(shape.meanSeconds(), from.lagSeconds);
    independent = from.seconds / blockSeconds / shape.longRunVariance(blockSeconds, readings);
    int count = sizes.size();
    double degrees = USUAL_DEGREES + count - 1;
    double expected = 0.5 / from.blocksPerRun;
    jitter = jitter(sizes.stream().mapToDouble(Sized::logBlock).toArray(), expected);
    withinOnce =
        sizes.stream().mapToDouble(Sized::fastOnce).filter(Double::isFinite).average().orElse(0);
    double[] fast = sizes.stream().mapToDouble(Sized::logFast).toArray();
    within = new CalmNoise.Spread(jitter(fast, withinOnce / from.blocksPerRun), degrees, count);
    List<double[]> rest = new ArrayList<>();
    double[] steps = new double[count];
    double[] insides = new double[count];
    for (int i = 0; i < count; i++) {
      double size = Math.exp(sizes.get(i).logBlock);
      rest.add(Arrays.stream(from.relative.get(i)).map(v -> v / size).toArray());
      steps[i] = sizes.get(i).step / size;
      double inside = Math.exp(sizes.get(i).logFast) / size;
      insides[i] = Double.isNaN(inside) ? 0 : inside;
    }
    spread = new CalmNoise.Spread(jitter, degrees, count);
    noise =
        new CalmNoise(
            rest,
            new CalmNoise.Gauge(blockSeconds, readings, median(steps), median(insides), transfer),
            spread);
  }

  /** What the runs say before it is put together. */
  private record Learned(
      List<CalmRun> runs,
      List<double[]> relative,
      List<Sized> sizes,
      NoiseShape shape,
      double lagSeconds,
      double seconds,
      int blocksPerRun) {}

  private static double median(double[] values) {
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    return sorted[sorted.length / 2];
  }

  /** Empty where no run is long enough for blocks of this length. */
  static Optional<CalmModel> learned(
      List<CalmRun> runs, double blockSeconds, int readings, GaugeTransfer gauge) {
    List<double[]> relative = new ArrayList<>();
    List<Rest> rests = new ArrayList<>();
    List<Double> steps = new ArrayList<>();
    List<CalmRun> used = new ArrayList<>();
    double total = 0;
    for (CalmRun run : runs) {
      Blocks blocks = blocks(run, blockSeconds);
      if (blocks.size() < FEWEST_BLOCKS) {
        continue;
      }
      Rest rest = Rest.of(blocks, settled(run));
      if (Arrays.stream(rest.relative).filter(Double::isFinite).count() < FEWEST_BLOCKS / 2) {
        continue; // hardly a reading in it, or none that is a flow
      }
      relative.add(rest.relative);
      rests.add(rest);
      used.add(run);
      steps.add(Steps.of(run.values()) / Math.abs(rest.mean));
      total += rest.relative.length * blocks.seconds();
    }
    if (relative.isEmpty()) {
      return Optional.empty();
    }
    NoiseShape shape = SpectrumFit.of(scaled(relative), blockSeconds, readings, gauge);
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
      double logBlock = 0.5 * Math.log(sum / (count - 1) + 1e-30);
      Rest rest = rests.get(i);
      sizes.add(new Sized(rest.mean, logBlock, rest.logFast, rest.fastOnce, steps.get(i)));
      blocksPerRun += count / relative.size();
    }
    return Optional.of(
        new CalmModel(
            new Learned(used, relative, sizes, shape, gauge.lagSeconds(), total, blocksPerRun),
            blockSeconds,
            readings));
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

  static Blocks blocks(CalmRun run, double shortestSeconds) {
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
  private record Rest(double mean, double[] relative, double logFast, double fastOnce) {

    private static final int PARTS = 3; // of a minute: as long as a reading

    static Rest of(Blocks blocks, double settled) {
      int from = 0;
      while (from < blocks.size() / 2 && blocks.start(from) < settled) {
        from++;
      }
      double sum = 0;
      int count = 0;
      double[] within = new double[PARTS];
      int[] inside = new int[PARTS];
      for (int i = from; i < blocks.size(); i++) {
        if (!Double.isNaN(blocks.mean(i))) {
          sum += blocks.mean(i);
          count++;
        }
        if (!Double.isNaN(blocks.variance(i))) {
          int part = (i - from) * PARTS / (blocks.size() - from);
          within[part] += blocks.variance(i);
          inside[part]++;
        }
      }
      double mean = sum / count;
      double[] relative = new double[blocks.size() - from];
      for (int i = from; i < blocks.size(); i++) {
        relative[i - from] = blocks.mean(i) / mean - 1;
      }
      int all = Arrays.stream(inside).sum();
      double squares = Arrays.stream(within).sum();
      double[] logs = new double[PARTS];
      for (int k = 0; k < PARTS; k++) {
        logs[k] = logDeviation(within[k], inside[k], mean);
      }
      double chance = variance(logs) * all / PARTS;
      return new Rest(mean, relative, logDeviation(squares, all, mean), chance);
    }

    private static double logDeviation(double squares, int count, double mean) {
      return count == 0 ? Double.NaN : 0.5 * Math.log(squares / count / mean / mean + 1e-30);
    }

    private static double variance(double[] x) {
      double mean = Arrays.stream(x).average().orElseThrow();
      return Arrays.stream(x).map(v -> (v - mean) * (v - mean)).sum() / (x.length - 1);
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
      double d = (Math.log(Math.abs(sizes.get(i).mean) + 1e-300) - at) / NEAR_FLOW;
      double w = Math.exp(-0.5 * Math.min(d * d, 600 + d)) + 1e-200;
      if (!Double.isNaN(logs[i])) {
        sum += w * logs[i];
        total += w;
      }
    }
    return sum / total;
  }

  /** Deviation of one block mean over the level, at a flow. */
  double block(double mean) {
    return Math.exp(interpolated(mean, sizes.stream().mapToDouble(Sized::logBlock).toArray()));
  }

  /** Deviation of readings inside a block over the level, at a flow; NaN when not known. */
  double fast(double mean) {
    return Math.exp(interpolated(mean, sizes.stream().mapToDouble(Sized::logFast).toArray()));
  }

  /** How far the deviation inside so many blocks may be beyond the calm record's; logarithm. */
  double mostWithin(int blocks) {
    return within.beyond(CalmLimits.CHANCE, withinOnce / blocks);
  }

  CalmNoise noise() {
    return noise;
  }

  /** Limits of a stretch of so many blocks; takes a good part of a second the first time. */
  synchronized CalmLimits limits(int blocks) {
    return limits.computeIfAbsent(blocks, n -> CalmLimits.drawn(noise, n));
  }

  /** The same noise in short blocks; learned the first time. */
  synchronized CalmJumps jumps(double blockSeconds, int readings) {
    return jumps.computeIfAbsent(readings, n -> shortBlocks(blockSeconds, n));
  }

  private CalmJumps shortBlocks(double blockSeconds, int readings) {
    List<double[]> rest = new ArrayList<>();
    double[] ratios = new double[runs.size()];
    double[] steps = new double[runs.size()];
    for (int i = 0; i < ratios.length; i++) {
      CalmRun run = runs.get(i);
      double[] relative = Rest.of(blocks(run, blockSeconds), settled(run)).relative;
      double size =
          Math.sqrt(
              Arrays.stream(relative).filter(Double::isFinite).map(v -> v * v).average().orElse(1));
      rest.add(Arrays.stream(relative).map(v -> v / size).toArray());
      ratios[i] = size / Math.exp(sizes.get(i).logBlock);
      steps[i] = sizes.get(i).step / size;
    }
    CalmNoise.Gauge gauge = new CalmNoise.Gauge(blockSeconds, readings, median(steps), 0, transfer);
    return new CalmJumps(new CalmNoise(rest, gauge, spread), median(ratios));
  }

  /**
   * The largest jump that would not be seen in so many blocks, over the level at a flow.
   *
   * @param seen in short blocks
   */
  synchronized double couldHide(int blocks, CalmJumps seen, double mean) {
    double apart =
        hidden.computeIfAbsent(blocks, n -> HiddenJump.apart(limits(n), noise, seen) * seen.size());
    return apart * block(mean);
  }

  /**
   * The record as prior for averaging.
   *
   * @param beneath rougher air has this noise beneath its own
   */
  NoisePrior prior(boolean beneath) {
    DoubleUnaryOperator level = mean -> block(mean) * block(mean);
    double logVariance = 4 * jitter * jitter * (1 + 1.0 / sizes.size());
    double doubt = Math.sqrt(2 / Math.max(2, 0.1 * independent));
    List<NoisePrior.Weighted> familiar = new ArrayList<>();
    familiar.add(new NoisePrior.Weighted(shape, 2.0 / 3, level, logVariance, true));
    for (int sign = -1; sign <= 1; sign += 2) {
      NoiseShape other = shape.slowScaled(Math.exp(sign * Math.sqrt(3) * doubt), 0.3);
      familiar.add(new NoisePrior.Weighted(other, 1.0 / 6, level, logVariance, true));
    }
    NoisePrior other = NoisePrior.unknown().through(transfer);
    return (beneath ? other.orOver(shape, transfer, level, logVariance) : other)
        .withFamiliar(familiar, FAMILIAR);
  }
}
