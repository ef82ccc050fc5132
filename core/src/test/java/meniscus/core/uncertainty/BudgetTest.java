package meniscus.core.uncertainty;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import meniscus.core.quantity.Unit;
import meniscus.core.uncertainty.Contribution.Kind;
import org.junit.jupiter.api.Test;

class BudgetTest {

  private static final double INFINITE = Double.POSITIVE_INFINITY;

  private static Contribution of(Kind kind, double effect, String sharedId) {
    return new Contribution(
        "error", kind, Math.abs(effect), INFINITE, Math.signum(effect), sharedId);
  }

  @Test
  void independentErrorsAddInSquaresAndSharedOnesWithTheirSigns() {
    Budget budget =
        new Budget(
            List.of(
                of(Kind.SYSTEMATIC, 5, "room"),
                of(Kind.SYSTEMATIC, -2, "room"),
                of(Kind.REPEAT, 4, "")));
    assertEquals(5, budget.standardUncertainty(), 1e-12);
    assertEquals(2, budget.largestFirst().size());
    assertEquals(4, budget.repeat().standardUncertainty(), 1e-12);
    assertEquals(3, budget.only(c -> c.kind() != Kind.REPEAT).standardUncertainty(), 1e-12);
  }

  @Test
  void whatTwoValuesShareCancelsInTheirDifference() {
    Budget before = new Budget(List.of(of(Kind.SYSTEMATIC, 3, "plate"), of(Kind.REPEAT, 1, "")));
    Budget after = new Budget(List.of(of(Kind.SYSTEMATIC, 3, "plate"), of(Kind.REPEAT, 1, "")));
    double variance =
        Math.pow(before.standardUncertainty(), 2)
            + Math.pow(after.standardUncertainty(), 2)
            - 2 * before.covariance(after);
    assertEquals(2, variance, 1e-12);
  }

  @Test
  void errorsWithoutASharedIdAreNeverShared() {
    Budget one = new Budget(List.of(of(Kind.REPEAT, 2, "")));
    assertEquals(0, one.covariance(one));
  }

  /**
   * Regression by hand: a plate's flow with 0.25 % of its coefficient, 0.02 mm of a 25 mm bore
   * (twice), 0.25 % of its drop and 0.2 % of the density (half each), 0.05 % of its expansibility.
   */
  @Test
  void theBudgetOfAPlateByHand() {
    Budget budget =
        new Budget(
            List.of(
                new Contribution("coefficient", Kind.SYSTEMATIC, 0.25, INFINITE, 1, ""),
                new Contribution("bore", Kind.SYSTEMATIC, 100 * 0.02 / 25, INFINITE, 2, ""),
                new Contribution("drop", Kind.SYSTEMATIC, 0.25, INFINITE, 0.5, ""),
                new Contribution("density", Kind.SYSTEMATIC, 0.2, INFINITE, 0.5, ""),
                new Contribution("expansibility", Kind.SYSTEMATIC, 0.05, INFINITE, 1, "")));
    assertEquals(0.3409178786746157, budget.standardUncertainty(), 1e-9);
    assertEquals("coefficient", budget.largestFirst().get(0).source());
  }

  @Test
  void anEmptyBudgetIsExact() {
    Budget exact = new Budget(List.of());
    assertEquals(0, exact.u95());
    assertEquals(INFINITE, exact.effectiveDegreesOfFreedom());
  }

  @Test
  void theTableNamesTheLargestErrorFirst() {
    Budget budget =
        new Budget(
            List.of(
                new Contribution("room temperature", Kind.SYSTEMATIC, 0.5, INFINITE, 2e-4, ""),
                new Contribution("reading the lift", Kind.SET_UP, 1e-5, INFINITE, 30, "")));
    String[] lines = budget.table("flow", 0.1, Unit.LITRE_PER_SECOND).split("\\R");
    assertTrue(lines[0].startsWith("flow 100.00 L/s ± 0.62"), lines[0]);
    assertTrue(lines[2].endsWith("reading the lift (set-up)"), lines[2]);
    assertTrue(lines[2].contains("90 %"), lines[2]);
    assertTrue(lines[3].endsWith("room temperature (systematic)"), lines[3]);
  }

  @Test
  void covariancesThatContradictTheVariancesAreRefused() {
    assertThrows(
        IllegalArgumentException.class,
        () -> new CorrelatedInputs(new double[][] {{1, 2}, {2, 1}}, 5));
  }

  @Test
  void perfectlyCorrelatedInputsOfEqualEffectCancel() {
    CorrelatedInputs twins = new CorrelatedInputs(new double[][] {{4, 4}, {4, 4}}, INFINITE);
    Budget difference =
        new Budget(twins.contributions("twins", Kind.SYSTEMATIC, new double[] {1, -1}, "twins"));
    assertEquals(0, difference.standardUncertainty(), 1e-7);
  }
}
