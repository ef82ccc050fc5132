package meniscus.core.steadiness;

/** From evidence to a verdict: here, and nowhere else, it is decided. */
final class VerdictRule {

  /** More spikes than this are the instrument's fault: a tenth. Our own choice. */
  private static final double MOST_SPIKES = 0.1;

  private static final int FEW_SPIKES = 3; // of a short reading; chance, not a fault

  private VerdictRule() {}

  static Verdict of(SignalEvidence evidence) {
    if (faulty(evidence.instrument())) {
      return Verdict.FAULTY;
    }
    if (evidence.air().isEmpty()) {
      return Verdict.BRIEF;
    }
    AirBehaviour air = evidence.air().get();
    if (jumping(air)) {
      return Verdict.SWITCHING;
    }
    if (air.moving()) {
      return Verdict.DRIFTING;
    }
    return air.beyond().isEmpty() ? Verdict.STEADY : Verdict.ROUGH;
  }

  static boolean faulty(SignalEvidence.Instrument instrument) {
    return instrument.fault().isPresent() || spiky(instrument);
  }

  private static boolean spiky(SignalEvidence.Instrument instrument) {
    return instrument.spikes() > Math.max(FEW_SPIKES, MOST_SPIKES * instrument.judged());
  }

  /** One jump of a level that moves anyway is a part of the movement. */
  private static boolean jumping(AirBehaviour air) {
    return air.switching().map(two -> two.jumps() >= (air.moving() ? 2 : 1)).orElse(false);
  }
}
