package meniscus.core.steadiness;

import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.settle.Blocks;
import meniscus.core.settle.Level;
import meniscus.core.settle.LevelBank;
import meniscus.core.settle.NoisePrior;
import meniscus.core.settle.SettlingModel;
import meniscus.core.settle.SpikeCutter;

/**
 * Judges one reading at one lift point as it comes in: level with its interval, and verdict. One
 * judge a rung; memory is bounded however long the rung lasts.
 */
public final class SignalJudge {

  // Where no other reason stands: our own choice, tried on simulated noise (see docs/figures.md).
  private static final int FEWEST_BLOCKS = 8; // level, settling and size leave five degrees
  private static final double LOOK_AGAIN = 1.03; // 3 % more data narrow an interval by 1.5 %
  private static final double MOST_SETTLING =
      10; // block deviations left at the start of what is used: a tenth of it is doubted
  private static final int MOST_FINE = 2000; // 40 s before neighbours are joined
  private static final double LEAST_MOVE = 0.1; // of what is used, for the start to move on
  private static final double SEEN_SPREAD = 0.35; // how well a settling once seen is known
  private static final double SEEN_ABSENT = 0.02; // chance that what was seen was none
  private static final double PERHAPS_MOVING = 0.2; // settled readings stay below 0.1

  private static final double VERDICT_AGAIN = 0.1; // of what is used; looking for jumps takes long
  private static final int LAST_BLOCKS = 50; // whose inside variance tells that of readings: 5 s

  private final JudgeSettings settings;
  private final ReadingWatch watch;
  private final Blocks blocks;
  private final Blocks fine = new Blocks(CalmRecord.SHORT_SECONDS, MOST_FINE);
  private final LastReadings recent = new LastReadings();
  private final SpikeCutter spikes;
  private SettlingModel settlingNow = SettlingModel.UNKNOWN;
  private LevelBank bank;
  private NoisePrior prior;
  private int start;
  private int fed;
  private int joined;
  private double nextLook;
  private Level level;
  private boolean precise;
  private double preciseAt = Double.NaN;
  private Optional<AirLook> air = Optional.empty();
  private double airAt = Double.NaN;

  public SignalJudge(JudgeSettings settings) {
    this.settings = settings;
    watch = new ReadingWatch(settings.gauge().low(), settings.gauge().high());
    blocks = new Blocks(Blocks.SHORTEST_SECONDS, Blocks.MOST, settings.prompt());
    spikes =
        new SpikeCutter(
            (seconds, value) -> {
              blocks.add(seconds, value);
              fine.add(seconds, value);
              recent.add(seconds, value);
            },
            settings.prompt());
  }

  /**
   * The next reading.
   *
   * @param seconds its time; never falls [s]
   * @param value NaN for a reading that was dropped
   */
  public void sample(double seconds, double value) {
    watch.reading(seconds, value);
    if (Double.isFinite(value)) {
      spikes.resolution(watch.moved() ? watch.resolution() : 0);
      spikes.add(seconds, value);
    }
    if (blocks.size() > fed) {
      feed();
    }
  }

  /** The last decimal that the readings are written with: they can move by as little. */
  public void quantum(double lastDecimal) {
    watch.quantum(lastDecimal);
  }

  /**
   * How long nothing was read, where no average can go across it [s]; 0 where one can. What was
   * read before and after is sound: averaging is to begin anew.
   */
  public double tornForSeconds() {
    return watch.tornFor(blocks.spacing());
  }

  /** No more readings will come: those still held back are used. */
  public void finish() {
    spikes.finish();
    blocks.finish();
    fine.finish();
    feed();
  }

  /** The asked width is reached and the verdict can be given, or the cap is: no need to wait. */
  public boolean enough() {
    return decided() && (precise && !perhapsMoving() || watch.seconds() >= settings.capSeconds());
  }

  /** A slow climb and a slow settling look alike at first; waiting tells them apart. */
  private boolean perhapsMoving() {
    double chance = level.movingChance();
    return chance > PERHAPS_MOVING && chance <= AirBehaviour.MOVING_CHANCE;
  }

  /** What can be said now. */
  public Judged judged() {
    return judgement().judged();
  }

  /** The same, worked out when it is asked for. */
  public Judgement judgement() {
    if (bank != null && bank.count() >= FEWEST_BLOCKS) {
      look();
      double now = watch.last();
      if (usedSeconds() < CalmLimits.SHORTEST_SECONDS) {
        air = Optional.empty(); // too brief for a verdict
        airAt = Double.NaN;
      } else if (!(now - airAt < VERDICT_AGAIN * usedSeconds())) {
        air = Optional.of(airLook());
        airAt = now;
      }
    }
    Optional<Level> known = Optional.ofNullable(level);
    Optional<AirLook> seen = known.isEmpty() ? Optional.empty() : air;
    SignalEvidence.Instrument instrument = instrument();
    SignalEvidence.Clocks clocks = clocks();
    double half = known.isEmpty() ? Double.NaN : halfWidth();
    double unseen = settings.prompt() && known.isPresent() ? rippleLeft() : 0;
    Judged.Span span = span();
    JudgeSettings compared = compared();
    return new Judgement(
        VerdictRule.faulty(instrument),
        span.precise(),
        span.decided(),
        () ->
            judged(
                new SignalEvidence(instrument, known, half, seen.map(AirLook::seen), clocks),
                unseen,
                span,
                compared));
  }

  private AirLook airLook() {
    Stretch stretch =
        new Stretch(level, blocks, fine, start, recent, settings.gauge().mainsHertz());
    Optional<CalmModel> calm = model();
    double deviation = Math.sqrt(variance());
    double count = watch.quantum();
    return new AirLook(() -> AirBehaviour.of(stretch, calm, settings, deviation, count));
  }

  private static Judged judged(
      SignalEvidence evidence, double rippleLeft, Judged.Span span, JudgeSettings compared) {
    Verdict verdict = VerdictRule.of(evidence);
    Optional<AirBehaviour> air = evidence.air();
    Optional<Switching> switching =
        verdict == Verdict.SWITCHING ? air.flatMap(AirBehaviour::switching) : Optional.empty();
    return new Judged(
        verdict,
        verdict == Verdict.FAULTY
            ? Optional.empty()
            : evidence.level().map(known -> average(known, evidence, switching, rippleLeft)),
        span,
        new Judged.Air(
            air.map(AirBehaviour::unsteadiness).orElse(OptionalDouble.empty()),
            switching,
            air.flatMap(AirBehaviour::mains),
            air.map(AirBehaviour::couldHide).orElse(OptionalDouble.empty()),
            evidence.seenToHertz()),
        evidence.instrument().spikes(),
        Reasons.of(compared, evidence, verdict));
  }

  /** As settled, but for a calm record that says nothing of blocks of this length. */
  private JudgeSettings compared() {
    return Double.isNaN(blocks.seconds()) || model().isPresent()
        ? settings
        : settings.withoutCalm();
  }

  private SignalEvidence.Instrument instrument() {
    double fluctuation =
        level == null
            ? Double.NaN
            : model().map(calm -> calm.fast(level.mean())).orElse(Double.NaN);
    return new SignalEvidence.Instrument(
        watch.fault(blocks.spacing(), fluctuation),
        spikes.cut(),
        spikes.judged(),
        watch.missing(),
        watch.longestGap(),
        new SignalEvidence.Readings(
            watch.readings(),
            blocks.interval(),
            blocks.spacing(),
            watch.resolution(),
            variance(),
            watch.neighbourVariance(),
            settings.calm().map(CalmRecord::seenToHertz).orElse(0.0)));
  }

  private SignalEvidence.Clocks clocks() {
    return new SignalEvidence.Clocks(
        watch.seconds(), usedSeconds(), precise, level != null && longEnough(), decided());
  }

  private Judged.Span span() {
    return new Judged.Span(
        blocks.size() > start ? Math.max(watch.first(), blocks.start(start)) : watch.first(),
        watch.last(),
        Double.isNaN(preciseAt) ? OptionalDouble.empty() : OptionalDouble.of(preciseAt),
        precise,
        decided(),
        waitSeconds());
  }

  private static Judged.Average average(
      Level known, SignalEvidence evidence, Optional<Switching> switching, double rippleLeft) {
    double seconds = evidence.clocks().seconds();
    double wider = switching.map(two -> two.meanError(seconds)).orElse(0.0);
    double error = Math.max(known.standardError(), wider);
    if (rippleLeft > 0) {
      error = Math.hypot(error, rippleLeft / Math.sqrt(3)); // rectangular, JCGM 100, 4.3.7
    }
    SignalEvidence.Readings readings = evidence.instrument().readings();
    return new Judged.Average(
        known.mean(),
        error,
        known.degreesOfFreedom(),
        OptionalDouble.of(Math.max(evidence.halfWidth(), 1.96 * wider)),
        error > 0 ? Math.min(readings.count(), readings.variance() / error / error) : 0);
  }

  private boolean decided() {
    return blocks.size() > 0
        && (usedSeconds() - settlingSeconds() >= settings.stabilitySeconds()
            || watch.seconds() >= settings.capSeconds());
  }

  /** An interval narrows with the root of the time. */
  private double waitSeconds() {
    if (decided() && precise) {
      return 0;
    }
    double used = usedSeconds();
    double verdict = decided() ? 0 : settings.stabilitySeconds() - used + settlingSeconds();
    double width = 0;
    if (level != null && !precise) {
      double over = halfWidth() / (settings.targetRelativeHalfWidth() * Math.abs(level.mean()));
      width = used * (over * over - 1);
      width = longEnough() ? width : Math.max(width, SignalEvidence.ALONE_SECONDS - used);
    }
    double toTheCap = settings.capSeconds() - (watch.readings() == 0 ? 0 : watch.seconds());
    return Math.max(0, Math.min(toTheCap, Math.max(1, Math.max(verdict, width))));
  }

  /**
   * How long the fitted settling is larger than the fluctuation of a block [s]: what is left of it
   * after being taken out could pass for a slow swing, so this time does not count for the verdict.
   */
  private double settlingSeconds() {
    double size = level == null ? 0 : Math.abs(level.settlingAtStart()) / level.blockDeviation();
    return size > 1 ? level.settlingSeconds() * Math.log(size) : 0;
  }

  private double usedSeconds() {
    return blocks.size() > start ? (blocks.size() - start) * blocks.seconds() : 0;
  }

  private void feed() {
    if (Double.isNaN(blocks.seconds())) {
      return;
    }
    if (bank == null || blocks.joined() != joined) {
      start = blocks.joined() == joined ? 0 : start / 2;
      joined = blocks.joined();
      renew();
    }
    while (fed < blocks.size()) {
      bank.add(blocks.mean(fed++));
    }
    if (bank.count() >= FEWEST_BLOCKS && bank.count() >= nextLook) {
      look();
    }
  }

  private void renew() {
    if (prior == null) {
      prior = prior();
    }
    bank = new LevelBank(prior, settlingNow, blocks.seconds(), blocks.perBlock());
    fed = start;
    nextLook = 0;
  }

  private NoisePrior prior() {
    return model()
        .map(calm -> calm.prior(settings.overBench()))
        .orElseGet(() -> NoisePrior.unknown().through(settings.gauge().transfer()));
  }

  private Optional<CalmModel> model() {
    return settings.calm().flatMap(calm -> calm.model(blocks.seconds(), blocks.perBlock()));
  }

  int blocks() {
    return blocks.size();
  }

  /** Level now; starts anew further on while the settling at the start is large. */
  private void look() {
    nextLook = bank.count() * LOOK_AGAIN;
    double about = level == null ? blocks.mean(blocks.size() - 1) : level.mean();
    about = Double.isNaN(about) ? 0 : about;
    double relative = settings.targetRelativeHalfWidth();
    double resolution = watch.resolution();
    double floor = resolution * resolution / 12 / Math.max(blocks.perBlock(), 1);
    floor = Math.max(floor, 1e-20 * about * about) + Double.MIN_NORMAL;
    level = bank.level(relative * Math.abs(about), about, floor);
    double limit = MOST_SETTLING * level.blockDeviation();
    double settling = Math.abs(level.settlingAtStart());
    boolean early = false;
    if (settling > 1.5 * limit) {
      double wait = level.settlingSeconds() * Math.log(settling / limit);
      int from = start + (int) Math.ceil(wait / blocks.seconds());
      early = from - start >= LEAST_MOVE * (blocks.size() - start);
      if (early && blocks.size() - from >= FEWEST_BLOCKS) {
        start = from;
        settlingNow = new SettlingModel(level.settlingSeconds(), SEEN_SPREAD, SEEN_ABSENT);
        renew();
        feed();
        return;
      }
    }
    precise = !early && longEnough() && halfWidth() <= relative * Math.abs(level.mean());
    if (precise && Double.isNaN(preciseAt)) {
      preciseAt = watch.last();
    }
  }

  /**
   * Noise that no calm record knows may be slow, and a short piece of slow noise looks like quick
   * noise that is small: stopping at the first narrow interval would catch just these pieces.
   */
  private boolean longEnough() {
    return level.familiarChance() >= 0.5 || usedSeconds() >= SignalEvidence.ALONE_SECONDS;
  }

  /** Half of the 95 % interval with what resolution hides. */
  private double halfWidth() {
    double step = watch.resolution();
    double spread2 = Math.max(0, variance() - step * step / 12);
    double hidden =
        step > 0
            ? step / Math.sqrt(12) * Math.exp(-2 * Math.PI * Math.PI * spread2 / step / step)
            : 0;
    double half = Math.hypot(level.halfWidth(), 1.65 * hidden);
    return settings.prompt() ? Math.hypot(half, rippleLeft()) : half;
  }

  /**
   * What mains ripple may leave in the mean: a sine of amplitude a over t seconds at f hertz has a
   * mean of a/(π f t) at most.
   */
  private double rippleLeft() {
    return air.flatMap(look -> look.seen().mains())
        .map(
            ripple ->
                ripple.relative()
                    * Math.abs(level.mean())
                    / (Math.PI * ripple.aliasHertz() * usedSeconds()))
        .orElse(0.0);
  }

  /** Variance of settled readings about their level. */
  private double variance() {
    double within = 0;
    int count = 0;
    for (int i = blocks.size() - 1; i >= start && count < LAST_BLOCKS; i--) {
      if (!Double.isNaN(blocks.variance(i))) {
        within += blocks.variance(i);
        count++;
      }
    }
    double deviation = level == null ? 0 : level.blockDeviation();
    return deviation * deviation + (count == 0 ? 0 : within / count);
  }
}
