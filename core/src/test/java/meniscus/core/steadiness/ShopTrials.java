package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import meniscus.core.settle.Blocks;
import meniscus.core.settle.GaugeTransfer;
import meniscus.core.steadiness.ShopNoise.Change;
import meniscus.core.steadiness.ShopNoise.Reading;

/**
 * Judges many readings of one {@link ShopNoise} against calm records of ten runs of a minute.
 *
 * @param noise of calm records and readings alike
 * @param seed all is drawn from it
 * @param told what the judge is told of the gauge
 */
record ShopTrials(ShopNoise noise, long seed, GaugeTransfer told) {

  ShopTrials(ShopNoise noise, long seed) {
    this(noise, seed, GaugeTransfer.NONE);
  }

  static final double TARGET = 0.005;
  private static final double CAP = 90;
  private static final int RUNS = 10;
  private static final int RECORDS = 8; // fresh ones, for limits differ from record to record
  private static final int ORACLE_DRAWS = 600; // good to 6 % for a variance
  private static final double LONG_SECONDS = 40;

  /**
   * How often the level was held, and how soon.
   *
   * @param ratio mean time over that of one who knows the noise
   */
  record Covered(int held, int of, double ratio) {}

  static CalmRecord calm(ShopNoise noise, int runs, long seed) {
    Random random = new Random(seed);
    List<CalmRun> all = new ArrayList<>();
    for (int r = 0; r < runs; r++) {
      Reading reading = noise.reading(60, Change.NONE, random);
      all.add(CalmRun.of("calm-" + r, reading.seconds(), reading.values()));
    }
    return CalmRecord.of(all);
  }

  /** Of the calm records that so many readings are judged against: learned once for all changes. */
  List<JudgeSettings> settings(int count, double stabilitySeconds) {
    return IntStream.range(0, Math.min(RECORDS, Math.max(1, count / 10)))
        .mapToObj(r -> calm(noise, RUNS, 7919 * seed + 104_729L * r))
        .map(
            record ->
                JudgeSettings.usual()
                    .withTarget(TARGET)
                    .withCapSeconds(CAP)
                    .withStabilitySeconds(stabilitySeconds)
                    .withCalm(record)
                    .through(told))
        .toList();
  }

  private Random random(int number, Change change) {
    return new Random(seed * 1_000_003 + number * 7919L + 31L * change.hashCode());
  }

  /** Readings until the asked width is reached. */
  Covered coverage(int count) {
    List<JudgeSettings> settings = settings(count, 0.5);
    int held = 0;
    double time = 0;
    for (int i = 0; i < count; i++) {
      Reading reading = noise.reading(CAP, Change.NONE, random(i, Change.NONE));
      SignalJudge judge = new SignalJudge(settings.get(i % settings.size()));
      for (int k = 0; k < reading.values().length && !judge.enough(); k++) {
        judge.sample(reading.seconds()[k], reading.values()[k]);
      }
      Judged judged = judge.judged();
      boolean holds = Math.abs(judged.mean().orElse(0) - reading.truth()) <= judged.u95().orElse(0);
      held += holds ? 1 : 0;
      time += judged.span().preciseAtSeconds().orElse(CAP) / count;
    }
    return new Covered(held, count, time / oracleSeconds());
  }

  /** How many of so many readings of a length are not called steady. */
  int notSteady(int count, Change change, double seconds) {
    return notSteady(count, change, seconds, settings(count, seconds));
  }

  int notSteady(int count, Change change, double seconds, List<JudgeSettings> settings) {
    int found = 0;
    for (int i = 0; i < count; i++) {
      found += judged(i, change, seconds, settings).verdict() == Verdict.STEADY ? 0 : 1;
    }
    return found;
  }

  /** How many are called switching. */
  int switching(int count, Change change, double seconds) {
    List<JudgeSettings> settings = settings(count, seconds);
    int found = 0;
    for (int i = 0; i < count; i++) {
      found += judged(i, change, seconds, settings).verdict() == Verdict.SWITCHING ? 1 : 0;
    }
    return found;
  }

  private Judged judged(int i, Change change, double seconds, List<JudgeSettings> settings) {
    Reading reading = noise.reading(seconds + 2, change, random(i, change));
    SignalJudge judge = new SignalJudge(settings.get(i % settings.size()).withCapSeconds(1e6));
    for (int k = 0; k < reading.values().length; k++) {
      judge.sample(reading.seconds()[k], reading.values()[k]);
    }
    judge.finish();
    return judge.judged();
  }

  /**
   * Time to the asked width for one who knows the noise, with the same gauge: from the variance of
   * long means [s].
   */
  double oracleSeconds() {
    double longRun = 0;
    int first = (int) (LONG_SECONDS * noise.gauge().hertz());
    for (int i = 0; i < ORACLE_DRAWS; i++) {
      // As long as those that are judged: waves that fill a stretch leave little in all its mean.
      Reading reading = noise.reading(CAP, Change.NONE, new Random(seed + 15_485_863L * i));
      double mean = Arrays.stream(reading.values(), 0, first).average().orElseThrow();
      double off = (mean - reading.truth()) / ShopNoise.LEVEL;
      longRun += LONG_SECONDS * off * off / ORACLE_DRAWS;
    }
    return 1.96 * 1.96 * longRun / TARGET / TARGET;
  }

  /** One who knows the noise, for readings of a length. */
  Oracle oracle(double seconds) {
    CalmRecord known = calm(noise, 60, 86_028_121L * seed);
    Seen[] calm = new Seen[ORACLE_DRAWS];
    for (int i = 0; i < ORACLE_DRAWS; i++) {
      calm[i] = seen(known, seconds, Change.NONE, new Random(seed * 31 + 65_537L * i));
    }
    return new Oracle(
        this,
        known,
        seconds,
        CalmLimits.of(Stream.of(calm).map(Seen::looks).toArray(Looks[]::new), 1),
        CalmJumps.limit(Stream.of(calm).mapToDouble(one -> one.jumps.ratio()).toArray()));
  }

  /**
   * One who knows the noise: the same looks, with limits from the true noise itself at the same
   * false-alarm chance.
   */
  record Oracle(
      ShopTrials trials, CalmRecord known, double seconds, CalmLimits limits, double jumps) {
    int found(int count, Change change) {
      int found = 0;
      for (int i = 0; i < count; i++) {
        Seen one = trials.seen(known, seconds, change, trials.random(i, change));
        boolean passed = limits.passedBy(one.looks) && one.jumps.ratio() <= jumps;
        found += passed ? 0 : 1;
      }
      return found;
    }
  }

  private record Seen(Looks looks, CalmJumps.Look jumps) {}

  private Seen seen(CalmRecord known, double seconds, Change change, Random random) {
    Reading reading = noise.reading(seconds, change, random);
    Blocks blocks = blocks(reading, new Blocks());
    Blocks fine = blocks(reading, new Blocks(CalmRecord.SHORT_SECONDS, 6000));
    CalmModel model = known.model(blocks.seconds(), blocks.perBlock()).orElseThrow();
    CalmJumps jumps = model.jumps(fine.seconds(), fine.perBlock());
    double unit = model.block(ShopNoise.LEVEL) * ShopNoise.LEVEL;
    return new Seen(
        Looks.of(rest(blocks, unit), Integer.MAX_VALUE, model.noise()),
        jumps.look(
            Arrays.stream(rest(fine, unit * jumps.size())).filter(v -> !Double.isNaN(v)).toArray(),
            Integer.MAX_VALUE));
  }

  private static double[] rest(Blocks blocks, double unit) {
    return IntStream.range(0, blocks.size())
        .mapToDouble(i -> (blocks.mean(i) - ShopNoise.LEVEL) / unit)
        .toArray();
  }

  private static Blocks blocks(Reading reading, Blocks blocks) {
    for (int i = 0; i < reading.values().length; i++) {
      blocks.add(reading.seconds()[i], reading.values()[i]);
    }
    return blocks;
  }
}
