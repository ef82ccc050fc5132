package meniscus.core.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import meniscus.core.air.AirState;
import meniscus.core.flow.Expansibility;
import meniscus.core.flow.Tapping;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class FlowElementTest {

  private static final AirState ROOM = new AirState(296.15, 101_325, 0.5);
  private static final AirState THIN = ROOM.movedTo(296.15, 94_350);

  private static OrificeElement plate(Optional<StatedCoefficient> stated) {
    return new OrificeElement(0.05, 0, Optional.empty(), Expansibility.ISO_2003, stated);
  }

  private static FlowElement nozzle() {
    return new NozzleElement(0.04, new StatedCoefficient(0.98, 0.005));
  }

  private static LinearElement linear() {
    return new LinearElement(0.2, 2000, AirState.dry(294.26, 101_325), 0.004);
  }

  private static ChartedElement charted() {
    return new ChartedElement(
        List.of(
            new ChartedElement.Node(250, 0.040),
            new ChartedElement.Node(1000, 0.079),
            new ChartedElement.Node(4000, 0.155)),
        AirState.dry(293.15, 101_325),
        0.01);
  }

  private static FittedElement fitted(FlowElement base, double... coefficients) {
    List<Double> all = java.util.Arrays.stream(coefficients).boxed().toList();
    List<List<Double>> covariance =
        all.stream().map(row -> all.stream().map(c -> c == row ? 1e-6 : 0.0).toList()).toList();
    return new FittedElement(base, all, covariance, 1000, 200, 5000);
  }

  static List<FlowElement> elements() {
    return List.of(
        plate(Optional.empty()),
        plate(Optional.of(new StatedCoefficient(0.61, 0.004))),
        new OrificeElement(
            0.04,
            0,
            Optional.of(new OrificeElement.Pipe(0.1, Tapping.FLANGE)),
            Expansibility.ISO_1991,
            Optional.empty()),
        nozzle(),
        linear(),
        charted(),
        fitted(plate(Optional.empty()), 1.01, 0.002));
  }

  @ParameterizedTest
  @MethodSource("elements")
  void flowIsOddInTheDropAndRisesWithIt(FlowElement element) {
    assertEquals(0, element.massFlow(0, ROOM));
    double before = 0;
    for (double drop = 5; drop < 8000; drop *= 1.3) {
      double flow = element.massFlow(drop, ROOM);
      assertTrue(flow > before, "at " + drop + " Pa");
      assertEquals(-flow, element.massFlow(-drop, ROOM));
      before = flow;
    }
  }

  @ParameterizedTest
  @MethodSource("elements")
  void uncertaintyIsAShareOfTheFlow(FlowElement element) {
    double share = element.relativeStandardUncertainty(1500, ROOM);
    assertTrue(share > 0 && share < 0.05, "was " + share);
  }

  /** Plates and nozzles carry with the root of density, laminar elements do not. */
  @Test
  void thinnerAirCarriesLessMass() {
    double root = Math.sqrt(THIN.density() / ROOM.density());
    double plate = plate(Optional.of(new StatedCoefficient(0.61, 0))).massFlow(500, THIN);
    assertEquals(
        root, plate / plate(Optional.of(new StatedCoefficient(0.61, 0))).massFlow(500, ROOM), 2e-4);
    assertEquals(root, charted().massFlow(500, THIN) / charted().massFlow(500, ROOM), 1e-12);
    assertEquals(
        THIN.density() / ROOM.density(),
        linear().massFlow(500, THIN) / linear().massFlow(500, ROOM),
        3e-4);
  }

  /** By hand: 0.61 · π/4 · 0.05² · ε · √(2 · ρ · 1000), ε of the 2003 form at β = 0. */
  @Test
  void statedCoefficientReplacesTheStandards() {
    double expansion = 1 - 0.351 * (1 - Math.pow(1 - 1000 / 101_325.0, 1 / ROOM.kappa()));
    double byHand = 0.61 * Math.PI / 4 * 0.0025 * expansion * Math.sqrt(2 * ROOM.density() * 1000);
    assertEquals(
        byHand, plate(Optional.of(new StatedCoefficient(0.61, 0.004))).massFlow(1000, ROOM), 1e-12);
  }

  @Test
  void linearElementGivesBackTheFlowItsMakerStates() {
    AirState stated = linear().statedFor();
    assertEquals(0.2, linear().massFlow(2000, stated) / stated.density(), 1e-12);
    assertEquals(0.1, linear().massFlow(1000, stated) / stated.density(), 0.0006);
  }

  @Test
  void chartGivesBackItsOwnLines() {
    AirState stated = charted().statedFor();
    for (ChartedElement.Node node : charted().nodes()) {
      assertEquals(
          node.flowM3PerS(), charted().massFlow(node.dropPa(), stated) / stated.density(), 1e-12);
    }
    assertTrue(charted().covers(-1000));
    assertFalse(charted().covers(200));
  }

  @Test
  void calibrationMultipliesTheElementItCorrects() {
    FlowElement base = nozzle();
    assertEquals(base.massFlow(700, ROOM), fitted(base, 1).massFlow(700, ROOM));
    FittedElement sloped = fitted(base, 1.02, 0.01);
    assertEquals(1.02 + 0.01 * Math.log(2), sloped.correction(2000), 1e-15);
    assertEquals(sloped.correction(5000), sloped.correction(9000), "held beyond the last plate");
    assertFalse(sloped.covers(9000));
  }

  /** By hand: v = (1, ln 2), Σ = 1e-6 I, so u² = 1e-6 (1 + ln² 2). */
  @Test
  void uncertaintyOfACalibrationFollowsItsCovariance() {
    FittedElement sloped = fitted(nozzle(), 1.02, 0.01);
    double byHand = 1e-3 * Math.sqrt(1 + Math.log(2) * Math.log(2)) / sloped.correction(2000);
    assertEquals(byHand, sloped.relativeStandardUncertainty(2000, ROOM), 1e-15);
  }

  /** JCGM 100:2008 4.3.7: ± a, rectangular, is a/√3; flow goes with the square of the bore. */
  @Test
  void looseBoreWidensTheUncertainty() {
    OrificeElement loose =
        new OrificeElement(
            0.025,
            0.1e-3,
            Optional.empty(),
            Expansibility.ISO_2003,
            Optional.of(new StatedCoefficient(0.6, 0)));
    assertEquals(2 * 0.004 / Math.sqrt(3), loose.relativeStandardUncertainty(10, ROOM), 1e-5);
  }

  @Test
  void impossibleElementsAreRefused() {
    assertThrows(IllegalArgumentException.class, () -> new StatedCoefficient(1.5, 0));
    assertThrows(
        IllegalArgumentException.class, () -> new NozzleElement(0, new StatedCoefficient(0.98, 0)));
    assertThrows(
        IllegalArgumentException.class,
        () ->
            new ChartedElement(
                List.of(new ChartedElement.Node(1000, 0.04), new ChartedElement.Node(500, 0.05)),
                ROOM,
                0));
    assertThrows(
        IllegalArgumentException.class,
        () -> new FittedElement(nozzle(), List.of(1.0), List.of(), 1000, 200, 5000));
  }
}
