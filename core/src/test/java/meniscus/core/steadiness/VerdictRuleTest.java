package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.remark.Remark;
import meniscus.core.steadiness.AirBehaviour.Against;
import meniscus.core.steadiness.AirBehaviour.Excess;
import meniscus.core.steadiness.AirBehaviour.Look;
import org.junit.jupiter.api.Test;

class VerdictRuleTest {

  private static final List<Excess> ROUGHER = List.of(new Excess(Look.SIZE, 1.6, 1.3));

  private static AirBehaviour air(boolean moving, List<Excess> beyond, int jumps) {
    return new AirBehaviour(
        moving,
        beyond,
        jumps == 0
            ? Optional.empty()
            : Optional.of(new Switching(0.98, 1.02, 0.5, 1.5, 1.5, jumps)),
        OptionalDouble.empty(),
        Optional.empty(),
        OptionalDouble.empty(),
        Against.CALM_RECORD);
  }

  private static Verdict verdict(Optional<Remark> fault, int spikes, Optional<AirBehaviour> air) {
    SignalEvidence.Readings readings =
        new SignalEvidence.Readings(3000, 0.01, 0.01, 0, 1e-4, 1e-4, 0);
    return VerdictRule.of(
        new SignalEvidence(
            new SignalEvidence.Instrument(fault, spikes, 100, 0, 0.01, readings),
            Optional.empty(),
            0.001,
            air,
            new SignalEvidence.Clocks(30, 30, true, true, true)));
  }

  private static Verdict verdict(AirBehaviour air) {
    return verdict(Optional.empty(), 0, Optional.of(air));
  }

  @Test
  void anInstrumentAtFaultSaysNothingOfTheAir() {
    AirBehaviour jumping = air(false, ROUGHER, 9);
    Remark stuck = Remark.of(Remark.Kind.STUCK, 1, 30, 0.01);
    assertEquals(Verdict.FAULTY, verdict(Optional.of(stuck), 0, Optional.of(jumping)));
    assertEquals(Verdict.FAULTY, verdict(Optional.empty(), 11, Optional.of(jumping)));
    assertEquals(Verdict.SWITCHING, verdict(Optional.empty(), 10, Optional.of(jumping)));
  }

  @Test
  void withoutALookAtTheAirAReadingIsBrief() {
    assertEquals(Verdict.BRIEF, verdict(Optional.empty(), 0, Optional.empty()));
  }

  @Test
  void oneJumpOfALevelThatMovesIsAPartOfTheMovement() {
    assertEquals(Verdict.SWITCHING, verdict(air(false, List.of(), 1)));
    assertEquals(Verdict.DRIFTING, verdict(air(true, ROUGHER, 1)));
    assertEquals(Verdict.SWITCHING, verdict(air(true, ROUGHER, 2)));
  }

  @Test
  void whatIsBeyondThePlateIsRoughAndNothingMore() {
    assertEquals(Verdict.ROUGH, verdict(air(false, ROUGHER, 0)));
    assertEquals(Verdict.STEADY, verdict(air(false, List.of(), 0)));
  }
}
