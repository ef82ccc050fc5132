package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import meniscus.core.settle.Level;

/** Puts evidence and verdict into words, with numbers. */
final class Reasons {

  /** A bench's plenum passes about 1 Hz: a gauge that shows as much hides nothing more. */
  private static final double SLOW_GAUGE_HERTZ = 1;

  private static final double WORTH_SAYING_MISSING = 1e-3; // share of readings
  private static final double WORTH_SAYING_GAP = 2.5; // usual ones

  /** A jump that is overlooked is said where it is as large as what a change brings: our choice. */
  private static final double WORTH_SAYING_HIDDEN = 0.02;

  private final JudgeSettings settings;
  private final SignalEvidence evidence;
  private final Verdict verdict;
  private final List<String> reasons = new ArrayList<>();

  private Reasons(JudgeSettings settings, SignalEvidence evidence, Verdict verdict) {
    this.settings = settings;
    this.evidence = evidence;
    this.verdict = verdict;
  }

  static List<String> of(JudgeSettings settings, SignalEvidence evidence, Verdict verdict) {
    Reasons said = new Reasons(settings, evidence, verdict);
    said.why();
    said.beside();
    return said.reasons;
  }

  private void why() {
    SignalEvidence.Instrument instrument = evidence.instrument();
    if (verdict == Verdict.FAULTY) {
      reasons.add(
          instrument
              .fault()
              .orElseGet(
                  () ->
                      text(
                          "%d of %d readings are spikes",
                          instrument.spikes(), instrument.judged())));
      return;
    }
    double used = evidence.clocks().usedSeconds();
    if (verdict == Verdict.BRIEF) {
      if (used > 0) {
        add("only %.1f s of usable readings; %.0f s are needed", used, settings.stabilitySeconds());
      } else {
        add("no usable readings yet; %.0f s are needed", settings.stabilitySeconds());
      }
      return;
    }
    AirBehaviour air = evidence.air().orElseThrow();
    Level level = evidence.level().orElseThrow();
    double size = Math.abs(level.mean());
    if (verdict == Verdict.SWITCHING) {
      switching(air.switching().orElseThrow(), level);
    }
    if (air.moving()) {
      reasons.add(
          level.climb() != 0
              ? text(
                  "the level moved by %.2g %% and does not come to rest",
                  100 * level.climb() / size)
              : text("the level still has %.2g %% to go", 100 * level.moving() / size));
    }
    if (air.against() == AirBehaviour.Against.NOTHING) {
      add("the level cannot be told from zero: its fluctuation is compared with nothing");
    }
    air.beyond().forEach(excess -> reasons.add(text(excess)));
    if (verdict == Verdict.STEADY && used < settings.stabilitySeconds()) {
      add(
          "only %.1f s of the %.0f s that a full verdict takes: slow switching may be missed",
          used, settings.stabilitySeconds());
    }
  }

  private void switching(Switching two, Level level) {
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

  private static String text(AirBehaviour.Excess excess) {
    return switch (excess.look()) {
      case SIZE -> timesOf("fluctuation from block to block", excess);
      case WITHIN_BLOCKS -> timesOf("quick fluctuation", excess);
      case SLOW -> timesOf("slow fluctuation (1 s means)", excess);
      case LEVELS ->
          text(
              "the level wanders by about %.1f %%, beyond the calm record: rougher air, or two"
                  + " levels too near to be told apart",
              100 * excess.times());
      case UNHEALTHY ->
          text(
              "the level wanders by %.1f %% from second to second and %.1f %% from block to block,"
                  + " more than a healthy bench does (%.0f %% and %.0f %%)",
              100 * excess.times(),
              100 * excess.limit(),
              100 * AirBehaviour.MOST_SLOW,
              100 * AirBehaviour.MOST_ALL);
    };
  }

  private static String timesOf(String what, AirBehaviour.Excess excess) {
    return text(
        "%s is %.2f times the calm record's, limit %.2f", what, excess.times(), excess.limit());
  }

  /** What is to be known beside the verdict. */
  private void beside() {
    SignalEvidence.Instrument instrument = evidence.instrument();
    if (instrument.spikes() > 0 && verdict != Verdict.FAULTY) {
      add("%d of %d readings cut out as spikes", instrument.spikes(), instrument.judged());
    }
    double gap = instrument.longestGap();
    double usual = instrument.readings().spacing();
    if (instrument.missing() > WORTH_SAYING_MISSING || gap > WORTH_SAYING_GAP * usual) {
      add(
          "%.1f %% of the readings were dropped, the longest gap %.2f s",
          100 * instrument.missing(), gap);
    }
    evidence.level().ifPresent(this::precision);
    if (settings.calm().isEmpty()) {
      add("no calm record: fluctuation is not compared with the bench's own");
    } else if (verdict == Verdict.STEADY && evidence.level().orElseThrow().familiarChance() < 0.5) {
      // Of rough air this goes without saying.
      add(
          "the noise is unlike the calm record: averaged on its own evidence (if a plate shows it"
              + " too, take a new calm record)");
    }
    evidence.air().ifPresent(this::whatCouldHide);
    mains(1 / instrument.readings().interval());
  }

  private void precision(Level level) {
    SignalEvidence.Clocks clocks = evidence.clocks();
    if (!clocks.longEnough()) {
      add(
          "only %.1f s of the %.0f s that tell slow fluctuation where no calm record knows it",
          clocks.usedSeconds(), SignalEvidence.ALONE_SECONDS);
    } else if (!clocks.precise() && level.mean() != 0) {
      add(
          "the asked ±%.2g %% is not reached: ±%.2g %%",
          100 * settings.targetRelativeHalfWidth(),
          100 * evidence.halfWidth() / Math.abs(level.mean()));
    }
  }

  private void whatCouldHide(AirBehaviour air) {
    SignalEvidence.Readings readings = evidence.instrument().readings();
    double mean = Math.abs(evidence.level().orElseThrow().mean());
    if (readings.stepped()) {
      add(
          "the gauge counts in steps of %.2g %%: less than that cannot be seen",
          100 * readings.step() / mean);
    }
    if (readings.seenToHertz() < SLOW_GAUGE_HERTZ) {
      add("cannot see fluctuation above %.2g Hz", readings.seenToHertz());
    }
    double hidden = air.couldHide().orElse(0);
    if (air.against() == AirBehaviour.Against.CALM_RECORD
        && verdict == Verdict.STEADY
        && hidden > WORTH_SAYING_HIDDEN) {
      add(
          "jumps of up to %.2g %% that stay about 1 s, or faster ones, would not show; a longer"
              + " reading or a quicker, finer gauge would show them",
          100 * hidden);
    }
  }

  private void mains(double rate) {
    evidence
        .air()
        .flatMap(AirBehaviour::mains)
        .ifPresent(
            ripple ->
                add(
                    "mains ripple of %.2g %%, seen at %.3g Hz: taken out; look at earth, shield and"
                        + " supply of the gauge",
                    100 * ripple.relative(), ripple.aliasHertz()));
    MainsLine.hidden(rate, settings.gauge().mainsHertz())
        .ifPresent(
            hertz -> {
              double alias = MainsLine.alias(hertz, rate);
              add(
                  "at %.4g readings/s a %.0f Hz mains ripple would look like %s: averaging may not"
                      + " remove it",
                  rate, hertz, alias < 1e-3 ? "a steady shift" : text("a swing of %.2g Hz", alias));
            });
  }

  private void add(String format, Object... values) {
    reasons.add(text(format, values));
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
