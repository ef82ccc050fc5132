package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.remark.Remark;
import meniscus.core.remark.Remark.Kind;
import meniscus.core.settle.Level;

/** Why a verdict is what it is, and what is to be known beside it. */
final class Reasons {

  /** A bench's plenum passes about 1 Hz: a gauge that shows as much hides nothing more. */
  private static final double SLOW_GAUGE_HERTZ = 1;

  private static final double WORTH_SAYING_MISSING = 1e-3; // share of readings
  private static final double WORTH_SAYING_GAP = 2.5; // usual ones

  /** A jump that is overlooked is said where it is as large as what a change brings: our choice. */
  private static final double WORTH_SAYING_HIDDEN = 0.02;

  /** Ripple as large as what a mean is usually asked to hold to is worth a look: our own choice. */
  private static final double WORTH_SAYING_RIPPLE = 0.005;

  private final JudgeSettings settings;
  private final SignalEvidence evidence;
  private final Verdict verdict;
  private final List<Remark> reasons = new ArrayList<>();

  private Reasons(JudgeSettings settings, SignalEvidence evidence, Verdict verdict) {
    this.settings = settings;
    this.evidence = evidence;
    this.verdict = verdict;
  }

  static List<Remark> of(JudgeSettings settings, SignalEvidence evidence, Verdict verdict) {
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
              .orElseGet(() -> Remark.of(Kind.SPIKES, instrument.spikes(), instrument.judged())));
      return;
    }
    double used = evidence.clocks().usedSeconds();
    if (verdict == Verdict.BRIEF) {
      if (used > 0) {
        add(Kind.TOO_BRIEF, used, settings.stabilitySeconds());
      } else {
        add(Kind.NOTHING_USABLE, settings.stabilitySeconds());
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
      if (level.climb() != 0) {
        add(Kind.LEVEL_MOVED, 100 * level.climb() / size);
      } else {
        add(Kind.LEVEL_MOVES, 100 * level.moving() / size);
      }
    }
    if (air.against() == AirBehaviour.Against.NOTHING) {
      add(Kind.NOT_TOLD_FROM_ZERO);
    }
    air.beyond().forEach(excess -> reasons.add(remark(excess)));
    if (verdict == Verdict.STEADY && used < settings.stabilitySeconds()) {
      add(Kind.SWITCHING_MAY_BE_MISSED, used, settings.stabilitySeconds());
    }
  }

  private void switching(Switching two, Level level) {
    add(
        Kind.JUMPS,
        100 * (two.low() - level.mean()) / Math.abs(level.mean()),
        100 * (two.high() - level.mean()) / Math.abs(level.mean()),
        100 * two.shareHigh(),
        two.dwellLowSeconds(),
        two.dwellHighSeconds(),
        two.jumps());
  }

  private static Remark remark(AirBehaviour.Excess excess) {
    return switch (excess.look()) {
      case SIZE -> Remark.of(Kind.ROUGH, excess.times(), excess.limit());
      case WITHIN_BLOCKS -> Remark.of(Kind.ROUGH_QUICKLY, excess.times(), excess.limit());
      case SLOW -> Remark.of(Kind.ROUGH_SLOWLY, excess.times(), excess.limit());
      case LEVELS -> Remark.of(Kind.LEVEL_WANDERS, 100 * excess.times());
      case UNHEALTHY ->
          Remark.of(
              Kind.WANDERS_UNHEALTHILY,
              100 * excess.times(),
              100 * excess.limit(),
              100 * AirBehaviour.MOST_SLOW,
              100 * AirBehaviour.MOST_ALL);
    };
  }

  /** What is to be known beside the verdict. */
  private void beside() {
    SignalEvidence.Instrument instrument = evidence.instrument();
    if (instrument.spikes() > 0 && verdict != Verdict.FAULTY) {
      add(Kind.SPIKES_CUT, instrument.spikes(), instrument.judged());
    }
    double gap = instrument.longestGap();
    double usual = instrument.readings().spacing();
    if (instrument.missing() > WORTH_SAYING_MISSING || gap > WORTH_SAYING_GAP * usual) {
      add(Kind.READINGS_DROPPED, 100 * instrument.missing(), gap);
    }
    evidence.level().ifPresent(this::precision);
    if (settings.calm().isEmpty()) {
      add(Kind.NO_CALM_RECORD);
    } else if (verdict == Verdict.STEADY && evidence.level().orElseThrow().familiarChance() < 0.5) {
      // Of rough air this goes without saying.
      add(Kind.UNLIKE_THE_CALM_RECORD);
    }
    evidence.air().ifPresent(this::whatCouldHide);
    mains(1 / instrument.readings().interval());
  }

  private void precision(Level level) {
    SignalEvidence.Clocks clocks = evidence.clocks();
    if (!clocks.longEnough()) {
      add(Kind.TOO_BRIEF_ALONE, clocks.usedSeconds(), SignalEvidence.ALONE_SECONDS);
    } else if (!clocks.precise() && level.mean() != 0) {
      add(
          Kind.NOT_PRECISE,
          100 * settings.targetRelativeHalfWidth(),
          100 * evidence.halfWidth() / Math.abs(level.mean()));
    }
  }

  private void whatCouldHide(AirBehaviour air) {
    SignalEvidence.Readings readings = evidence.instrument().readings();
    double mean = Math.abs(evidence.level().orElseThrow().mean());
    if (readings.stepped()) {
      add(Kind.COARSE_GAUGE, 100 * readings.step() / mean);
    }
    if (evidence.seenToHertz() < SLOW_GAUGE_HERTZ) {
      add(Kind.SLOW_GAUGE, evidence.seenToHertz());
    }
    double hidden = air.couldHide().orElse(0);
    if (air.against() == AirBehaviour.Against.CALM_RECORD
        && verdict == Verdict.STEADY
        && hidden > WORTH_SAYING_HIDDEN) {
      add(Kind.COULD_HIDE, 100 * hidden);
    }
  }

  private void mains(double rate) {
    evidence
        .air()
        .flatMap(AirBehaviour::mains)
        .filter(ripple -> ripple.relative() >= WORTH_SAYING_RIPPLE || !settings.overBench())
        .ifPresent(ripple -> add(Kind.MAINS_RIPPLE, 100 * ripple.relative(), ripple.aliasHertz()));
    MainsLine.hidden(rate, settings.gauge().mainsHertz())
        .ifPresent(
            hertz -> {
              double alias = MainsLine.alias(hertz, rate);
              if (alias < 1e-3) {
                add(Kind.MAINS_COULD_SHIFT, rate, hertz);
              } else {
                add(Kind.MAINS_COULD_SWING, rate, hertz, alias);
              }
            });
  }

  private void add(Kind kind, double... numbers) {
    reasons.add(Remark.of(kind, numbers));
  }
}
