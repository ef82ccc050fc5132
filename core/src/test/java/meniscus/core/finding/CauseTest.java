package meniscus.core.finding;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import meniscus.core.finding.Cause.Answer;
import meniscus.core.finding.Cause.Trait;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import org.junit.jupiter.api.Test;

/** What speaks against which cause, and when the short side is called likely. */
class CauseTest {

  private static final Sign LOSES = new Sign(Sign.Kind.LOSES, "less flow", List.of(14e-3));
  private static final Sign ROUGH_THERE = new Sign(Sign.Kind.ROUGHER, "rough", List.of(14e-3));
  private static final Sign ROUGH_BELOW = new Sign(Sign.Kind.ROUGHER, "rough", List.of(4e-3));
  private static final Map<Trait, Answer> NOTHING = Map.of();

  @Test
  void aFallOverPressureSpeaksAgainstAllThatGoesWithLiftAlone() {
    Map<Trait, Answer> falls = Map.of(Trait.FALLS_WITH_PRESSURE, Answer.YES);
    for (Cause cause : List.of(Cause.CHOKE, Cause.SHROUDING, Cause.ADAPTER_EDGE)) {
      assertFalse(cause.spokenAgainstBy(falls).isEmpty(), cause.word());
    }
    assertTrue(Cause.VALVE_NOT_RIGID.spokenAgainstBy(falls).isEmpty());
  }

  @Test
  void aSpringThatHoldsSpeaksAgainstAValveThatGives() {
    Map<Trait, Answer> holds = Map.of(Trait.SPRING_OVERCOME, Answer.NO);
    assertEquals(List.of(Trait.SPRING_OVERCOME), Cause.VALVE_NOT_RIGID.spokenAgainstBy(holds));
  }

  @Test
  void lostFlowAloneIsNamedWithItsRivals() {
    Finding found = found(List.of(LOSES, LOSES), NOTHING);
    assertEquals(Kind.LOSES_AT_HIGH_LIFT, found.kind());
    assertEquals(2 + Cause.values().length, found.evidence().size());
    assertTrue(found.nextStep().contains("confirm 14.00 mm"), found.nextStep());
    assertTrue(found.nextStep().contains("12.00 mm"), found.nextStep());
  }

  @Test
  void lostFlowWithRoughAirThereIsALikelyShortSideAndRoughAirElsewhereIsNot() {
    assertEquals(Kind.LIKELY_SHORT_SIDE, found(List.of(LOSES, ROUGH_THERE), NOTHING).kind());
    assertEquals(Kind.LOSES_AT_HIGH_LIFT, found(List.of(LOSES, ROUGH_BELOW), NOTHING).kind());
  }

  @Test
  void roughAirAloneIsNothing() {
    assertTrue(new ShortSideFinding(plan(), List.of(ROUGH_THERE), NOTHING).finding().isEmpty());
  }

  @Test
  void aPressureSweepThatDoesNotFallOverrulesTheRest() {
    Map<Trait, Answer> seen = Map.of(Trait.FALLS_WITH_PRESSURE, Answer.NO);
    Finding found = found(List.of(LOSES, ROUGH_THERE), seen);
    assertEquals(Kind.LOSES_AT_HIGH_LIFT, found.kind());
    assertTrue(found.sentence().contains("not likely"), found.sentence());
  }

  @Test
  void highLiftIsWhereThePortRules() {
    assertTrue(ShortSideFinding.high(plan(), 0.2 * 1.94 * 0.0254));
    assertFalse(ShortSideFinding.high(plan(), 0.19 * 1.94 * 0.0254));
  }

  private static Finding found(List<Sign> signs, Map<Trait, Answer> seen) {
    return new ShortSideFinding(plan(), signs, seen).finding().orElseThrow();
  }

  private static Plan plan() {
    return SuspectPoints.plan(
        List.of(rung(1, 4), rung(2, 8), rung(3, 12), rung(4, 14)), OptionalDouble.empty());
  }

  private static Rung rung(int number, double mm) {
    return new Rung(number, mm * 1e-3, Sweep.OPENING, OptionalDouble.empty(), false);
  }
}
