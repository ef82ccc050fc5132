package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;

/**
 * Judges many made signals whose truth is known: level 1, noise of a kind with standard deviation 1
 * %, target ±0.5 %, 100 readings a second, a cap of 120 s.
 *
 * @param kind noise kind of {@link Signals}
 * @param change {@code calm}, {@code x1.5} (noise so many times larger), {@code two 2/1} (two
 *     levels 2 % apart, staying 1 s on average), {@code settle A/tau}
 * @param jitter standard deviation of the logarithm of the noise's size from reading to reading, in
 *     calm runs and readings alike
 * @param calmRuns calm runs of 60 s; 0 for no calm record
 * @param seed all is drawn from it
 */
record Trials(String kind, String change, double jitter, int calmRuns, long seed) {

  static final double HERTZ = 100;
  static final double SD = 0.01;
  static final double TARGET = 0.005;
  static final double CAP = 120;

  /** What came of one signal. */
  record Outcome(Verdict verdict, boolean held, double preciseAt, double u95, String reason) {}

  /** What came of all. */
  record Table(int count, int held, double meanPreciseAt, int notSteady, int capped) {
    double coverage() {
      return 100.0 * held / count;
    }

    double notSteadyPercent() {
      return 100.0 * notSteady / count;
    }
  }

  static CalmRecord calm(String kind, int runs, double jitter, long seed) {
    Random random = new Random(seed);
    List<CalmRun> all = new ArrayList<>();
    for (int r = 0; r < runs; r++) {
      int n = (int) (60 * HERTZ);
      double sd = SD * Math.exp(jitter * random.nextGaussian());
      double[] values = Signals.point(Signals.noise(kind, n, HERTZ, random), sd, 0, 0, HERTZ);
      double[] seconds = IntStream.range(0, n).mapToDouble(i -> i / HERTZ).toArray();
      all.add(CalmRun.of("calm-" + r, seconds, values));
    }
    return CalmRecord.of(all);
  }

  JudgeSettings settings(double stabilitySeconds) {
    JudgeSettings settings =
        JudgeSettings.usual()
            .withTarget(TARGET)
            .withCapSeconds(CAP)
            .withStabilitySeconds(stabilitySeconds);
    return calmRuns == 0
        ? settings
        : settings.withCalm(calm(kind, calmRuns, jitter, seed * 31 + kind.hashCode()));
  }

  Table run(int count, double stabilitySeconds) {
    JudgeSettings settings = settings(stabilitySeconds);
    List<Outcome> all =
        IntStream.range(0, count).parallel().mapToObj(r -> one(r, settings)).toList();
    return new Table(
        count,
        (int) all.stream().filter(Outcome::held).count(),
        all.stream().mapToDouble(Outcome::preciseAt).average().orElse(0),
        (int) all.stream().filter(o -> o.verdict() != Verdict.STEADY).count(),
        (int) all.stream().filter(o -> o.preciseAt() >= CAP).count());
  }

  Outcome one(int number, JudgeSettings settings) {
    double[] x = signal(new Random(seed * 1_000_003 + number * 7919L + hash()));
    SignalJudge judge = new SignalJudge(settings);
    for (int i = 0; i < x.length && !judge.enough(); i++) {
      judge.sample(i / HERTZ, x[i]);
    }
    Judged judged = judge.judged();
    double u95 = judged.u95().orElse(0);
    return new Outcome(
        judged.verdict(),
        Math.abs(judged.mean().orElse(9) - 1) <= u95,
        judged.span().preciseAtSeconds().orElse(CAP),
        u95,
        judged.reasons().toString());
  }

  private long hash() {
    return 13L * kind.hashCode() + change.hashCode();
  }

  private double[] signal(Random random) {
    int n = (int) (CAP * HERTZ);
    double sd = SD * Math.exp(jitter * random.nextGaussian());
    double[] noise = Signals.noise(kind, n, HERTZ, random);
    if (change.startsWith("x")) {
      return Signals.point(noise, sd * Double.parseDouble(change.substring(1)), 0, 0, HERTZ);
    }
    String[] words = change.split("[ /]");
    if (words[0].equals("settle")) {
      return Signals.point(
          noise, sd, Double.parseDouble(words[1]), Double.parseDouble(words[2]), HERTZ);
    }
    double[] x = Signals.point(noise, sd, 0, 0, HERTZ);
    if (words[0].equals("two")) {
      double half = Double.parseDouble(words[1]) / 200;
      double leave = 1 / (Double.parseDouble(words[2]) * HERTZ);
      double side = random.nextBoolean() ? half : -half;
      for (int i = 0; i < n; i++) {
        side = random.nextDouble() < leave ? -side : side;
        x[i] += side;
      }
    }
    return x;
  }
}
