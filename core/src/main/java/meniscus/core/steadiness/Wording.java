package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.settle.Blocks;
import meniscus.core.settle.Level;
import meniscus.core.settle.SpikeCutter;

/** Puts what a judge knows into a verdict with reasons. */
final class Wording {

  private static final double MOST_SPIKES = 0.1;
  static final double SHORTEST_SECONDS = 8;
  private static final double SLOW_GAUGE_HERTZ = 5;

  private final JudgeSettings settings;
  private final ReadingWatch watch;
  private final Blocks blocks;
  private final SpikeCutter spikes;
  private final List<String> reasons = new ArrayList<>();

  Wording(JudgeSettings settings, ReadingWatch watch, Blocks blocks, SpikeCutter spikes) {
    this.settings = settings;
    this.watch = watch;
    this.blocks = blocks;
    this.spikes = spikes;
  }

  Judged say(SignalJudge judge) {
    Level level = judge.level();
    Stillness still = judge.stillness();
    Verdict verdict = verdict(judge, level, still);
    boolean known = level != null && verdict != Verdict.FAULTY;
    double u95 = known ? judge.halfWidth() : Double.NaN;
    double error = known ? level.standardError() : Double.NaN;
    Optional<Switching> switching =
        verdict == Verdict.SWITCHING ? still.switching() : Optional.empty();
    double seen = seenToHertz(judge.readingVariance(), switching);
    beside(judge, seen);
    if (switching.isPresent()) {
      double wider = switchingError(switching.get());
      error = Math.max(error, wider);
      u95 = Math.max(u95, 1.96 * wider);
    }
    double variance = judge.readingVariance();
    return new Judged(
        verdict,
        known ? OptionalDouble.of(level.mean()) : OptionalDouble.empty(),
        known ? OptionalDouble.of(error) : OptionalDouble.empty(),
        known ? level.degreesOfFreedom() : 0,
        known ? OptionalDouble.of(u95) : OptionalDouble.empty(),
        blocks.size() > judge.start()
            ? Math.max(watch.first(), blocks.start(judge.start()))
            : watch.first(),
        watch.last(),
        judge.preciseAt(),
        known && error > 0 ? Math.min(watch.readings(), variance / error / error) : 0,
        seen,
        still == null ? OptionalDouble.empty() : still.unsteadiness(),
        switching,
        judge.precise(),
        judge.decidedNow(),
        level == null ? 0 : level.familiarChance(),
        spikes.cut(),
        reasons);
  }

  private Verdict verdict(SignalJudge judge, Level level, Stillness still) {
    double fluctuation =
        level == null || judge.model().isEmpty()
            ? Double.NaN
            : judge.model().get().fast(level.mean());
    Optional<String> fault = watch.fault(blocks.spacing(), fluctuation);
    if (fault.isPresent()) {
      reasons.add(fault.get());
      return Verdict.FAULTY;
    }
    if (spikes.cut() > Math.max(3, MOST_SPIKES * spikes.judged())) {
      add("%d of %d readings are spikes", spikes.cut(), spikes.judged());
      return Verdict.FAULTY;
    }
    if (level == null || judge.usedSeconds() < SHORTEST_SECONDS) {
      add(
          "only %.1f s of usable readings; %.0f s are needed",
          judge.usedSeconds(), settings.stabilitySeconds());
      return Verdict.BRIEF;
    }
    boolean jumping = jumping(still);
    if (jumping) {
      Switching two = still.switching().get();
      add(
          "jumps between levels %+.1f %% and %+.1f %% from the mean, %.0f %% of the time at the"
              + " higher, staying about %.1f s and %.1f s, %d jumps",
          100 * (two.low() - level.mean()) / Math.abs(level.mean()),
          100 * (two.high() - level.mean()) / Math.abs(level.mean()),
          100 * two.shareHigh(),
          two.dwellLowSeconds(),
          two.dwellHighSeconds(),
          two.jumps());
    }
    reasons.addAll(still.said());
    if (jumping) {
      return Verdict.SWITCHING;
    }
    if (still.moving()) {
      return Verdict.DRIFTING;
    }
    if (still.restless()) {
      return Verdict.ROUGH;
    }
    if (judge.usedSeconds() < settings.stabilitySeconds()) {
      add(
          "only %.1f s of the %.0f s that a full verdict takes: slow switching may be missed",
          judge.usedSeconds(), settings.stabilitySeconds());
    }
    return Verdict.STEADY;
  }

  /** One jump of a level that moves anyway is a part of the movement. */
  private static boolean jumping(Stillness still) {
    return still.switching().isPresent()
        && still.switching().get().jumps() >= (still.moving() ? 2 : 1);
  }

  /** What is to be known beside the verdict. */
  private void beside(SignalJudge judge, double seen) {
    Level level = judge.level();
    if (spikes.cut() > 0) {
      add("%d of %d readings cut out as spikes", spikes.cut(), spikes.judged());
    }
    double gap = watch.longestGap();
    if (watch.missing() > 0 || gap > 2.5 * blocks.spacing()) {
      add(
          "%.1f %% of the readings were dropped, the longest gap %.2f s",
          100 * watch.missing(), gap);
    }
    if (level != null && !judge.longEnough()) {
      add(
          "only %.1f s of the %.0f s that tell slow fluctuation where no calm record knows it",
          judge.usedSeconds(), SignalJudge.ALONE_SECONDS);
    } else if (level != null && !judge.precise() && level.mean() != 0) {
      add(
          "the asked ±%.2g %% is not reached: ±%.2g %%",
          100 * settings.targetRelativeHalfWidth(),
          100 * judge.halfWidth() / Math.abs(level.mean()));
    }
    if (settings.calm().isEmpty()) {
      reasons.add("no calm record: fluctuation is not compared with the bench's own");
    } else if (level != null && level.familiarChance() < 0.5) {
      reasons.add(
          "the noise is unlike the calm record: averaged on its own evidence (if a plate shows it"
              + " too, take a new calm record)");
    }
    double step = watch.resolution();
    if (step > 0 && judge.readingVariance() < 0.25 * step * step) {
      add("the resolution of %.3g limits what can be seen", step);
    }
    if (seen < SLOW_GAUGE_HERTZ) {
      add("cannot see fluctuation above %.2g Hz", seen);
    }
    aliasing();
  }

  private void aliasing() {
    double rate = 1 / blocks.interval();
    double[] mains =
        Double.isNaN(settings.mainsHertz())
            ? new double[] {50, 60}
            : new double[] {settings.mainsHertz()};
    for (double hertz : mains) {
      double alias = Math.abs(hertz - rate * Math.rint(hertz / rate));
      if (rate < 2 * hertz && alias < 2) {
        add(
            "at %.4g readings/s a %.0f Hz mains ripple would look like %s: averaging may not"
                + " remove it",
            rate,
            hertz,
            alias < 1e-3
                ? "a steady shift"
                : String.format(Locale.ROOT, "a swing of %.2g Hz", alias));
      }
    }
  }

  /** What the gauge shows here, and has shown on a plate; jumps of the air are not its slowness. */
  private double seenToHertz(double variance, Optional<Switching> switching) {
    double jumps =
        switching
            .map(two -> two.shareHigh() * (1 - two.shareHigh()) * squared(two.high() - two.low()))
            .orElse(0.0);
    double here =
        CalmRecord.halfPowerHertz(
            Math.max(variance - jumps, watch.neighbourVariance()),
            watch.neighbourVariance(),
            blocks.interval());
    double onPlates = settings.calm().map(CalmRecord::seenToHertz).orElse(0.0);
    return Math.min(0.5 / blocks.interval(), Math.max(here, onPlates));
  }

  private static double squared(double x) {
    return x * x;
  }

  /** Standard error of the mean of a two-level signal from its dwell times. */
  private double switchingError(Switching two) {
    double p = two.shareHigh();
    double apart = two.high() - two.low();
    double a = Math.max(two.dwellLowSeconds(), 1e-3);
    double b = Math.max(two.dwellHighSeconds(), 1e-3);
    double memory = a * b / (a + b);
    double share = Math.min(1, 2 * memory / watch.seconds());
    return apart * Math.sqrt(p * (1 - p) * share);
  }

  private void add(String format, Object... values) {
    reasons.add(String.format(Locale.ROOT, format, values));
  }
}
