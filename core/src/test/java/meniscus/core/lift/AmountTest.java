package meniscus.core.lift;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.finding.Finding;
import meniscus.core.finding.TestDoubts;
import meniscus.core.quantity.Dimension;
import meniscus.core.refusal.Refusal;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Sizes of a change in whatever they are measured, and what is left of the metal. */
class AmountTest {

  @ParameterizedTest
  @CsvSource({
    "24.5 mm, LENGTH, 0.0245",
    "0.965 in, LENGTH, 0.024511",
    "45 deg, ANGLE, 0.785398163397448",
    "820 mm2, AREA, 0.00082",
    "61.5 cc, VOLUME, 0.0000615",
    "3.75 in3, VOLUME, 0.00006145174",
  })
  void aNumberWithAUnitIsWhatItSays(String text, Dimension dimension, double si) {
    Amount amount = Amount.of(text);
    assertEquals(Optional.of(dimension), amount.dimension());
    assertEquals(si, amount.value().orElseThrow().si(), 1e-9);
    assertEquals(text, amount.text());
  }

  @ParameterizedTest
  @CsvSource({"120 grit", "as cast", "polished with 400", "5 angles"})
  void anythingElseIsWords(String text) {
    assertEquals(Optional.empty(), Amount.of(text).dimension());
    assertEquals(OptionalDouble.empty(), Amount.of(text).metres());
  }

  @Test
  void aNumberOfAKnownUnitThatIsBadlyWrittenIsRefused() {
    assertThrows(Refusal.class, () -> Amount.of("24,5 mm"));
  }

  private static Plan.ChangeNote note(String before, String after, Optional<Plan.Left> left) {
    return new Plan.ChangeNote(
        "shortened the guide",
        "",
        Optional.of(Amount.of(before)),
        Optional.of(Amount.of(after)),
        left,
        Optional.empty());
  }

  @Test
  void beforeAndAfterAreTheSameKindOfThing() {
    assertThrows(Refusal.class, () -> note("42 mm", "45 deg", Optional.empty()));
    assertThrows(Refusal.class, () -> note("42 mm", "short", Optional.empty()));
    assertEquals(0.042, note("42 mm", "38 mm", Optional.empty()).beforeM().orElseThrow(), 1e-12);
  }

  @Test
  void lessLeftThanWasToStayIsACautionThatDefersToTheMaker() {
    Finding caution = caution(new Plan.Left(0.028, OptionalDouble.of(0.030)));
    assertTrue(caution.sentence().contains("Less metal is left"), caution.sentence());
    assertTrue(caution.evidence().get(0).contains("28.00 mm left, at least 30.00 mm"));
    assertTrue(caution.nextStep().contains("engine maker's figures"), caution.nextStep());
    assertFalse(
        caution(new Plan.Left(0.030, OptionalDouble.of(0.030))).sentence().contains("Less metal"));
    assertFalse(
        caution(new Plan.Left(0.001, OptionalDouble.empty())).sentence().contains("Less metal"));
  }

  private static Finding caution(Plan.Left left) {
    TestCurve test =
        new InventedBench(1, InventedBench.Errors.USUAL).run("t", Optional.empty(), lift -> 1);
    return TestDoubts.cautions(
            InventedBench.of(
                test.plan().part(),
                PortKind.INTAKE,
                java.util.List.of(note("42 mm", "38 mm", Optional.of(left))),
                test))
        .get(0);
  }
}
