package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import meniscus.core.flow.DischargeCoefficient.Area;
import meniscus.core.flow.ValveGeometry.Regime;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Heywood (1988), equations 6.7 to 6.9 (form from memory), checked by other routes. */
class ValveGeometryTest {

  private static final double MM = 1e-3;

  private final ValveGeometry valve =
      new ValveGeometry(51.3 * MM, 1.8 * MM, Math.toRadians(45), 46 * MM, 8 * MM);

  private final ValveGeometry flatter =
      new ValveGeometry(51.3 * MM, 1.8 * MM, Math.toRadians(30), 46 * MM, 8 * MM);

  /** Values of an independent script that sweeps all segments between seat and valve face. */
  @ParameterizedTest
  @CsvSource({
    "2.0, 216.36839902236386, SEAT",
    "3.6, 395.8608697899104, SEAT",
    "6.0, 710.5920081714266, EDGE",
    "10.0, 1305.5334970777474, EDGE"
  })
  void seatAreaIsThatOfTheShortestSegment(double liftMm, double expectedMm2, Regime regime) {
    assertEquals(expectedMm2, mm2(valve.seatArea(liftMm * MM)), expectedMm2 * 1e-6);
    assertEquals(regime, valve.regime(liftMm * MM));
  }

  /** The same cone on a smaller circle: the formulas mean the seat's edge, not the head's. */
  @Test
  void aSeatThatEndsInsideTheHeadsEdgeHasTheAreasOfAHeadOfItsSize() {
    ValveGeometry inside =
        new ValveGeometry(53 * MM, 51.3 * MM, 1.8 * MM, Math.toRadians(45), 46 * MM, 8 * MM);
    ValveGeometry reaching =
        new ValveGeometry(51.3 * MM, 1.8 * MM, Math.toRadians(45), 46 * MM, 8 * MM);
    for (double lift : new double[] {1 * MM, 3 * MM, 6 * MM, 14 * MM}) {
      assertEquals(reaching.seatArea(lift), inside.seatArea(lift), 1e-15);
      assertEquals(reaching.regime(lift), inside.regime(lift));
      assertEquals(
          Math.PI * 53 * MM * lift, inside.curtainArea(lift), 1e-15, "the trade's curtain");
    }
    assertThrows(
        meniscus.core.refusal.Refusal.class,
        () -> new ValveGeometry(50 * MM, 51.3 * MM, 1.8 * MM, 0.8, 46 * MM, 8 * MM));
  }

  @Test
  void seatAreaOfA30DegreeSeatIsThatOfTheShortestSegment() {
    assertEquals(264.26707808202536, mm2(flatter.seatArea(2 * MM)), 264 * 1e-6);
  }

  /**
   * MathWorks documentation of the Simscape poppet valve: conical opening π h sin(θ/2)(d + h/2 sin
   * θ), θ the full cone angle, d the inner diameter of the seat.
   */
  @Test
  void lowLiftAreaIsTheConicalOpeningOfAPoppetValve() {
    double h = 2;
    double theta = Math.PI - 2 * Math.toRadians(45);
    double poppet = Math.PI * h * Math.sin(theta / 2) * (51.3 - 2 * 1.8 + h / 2 * Math.sin(theta));
    assertEquals(216.36839908831243, poppet, 1e-9);
    assertEquals(poppet, mm2(valve.seatArea(2 * MM)), 216 * 1e-12);
  }

  /** Regression: hand arithmetic of the same equations. */
  @Test
  void regressionLimitsAndThroat() {
    assertEquals(3.6, valve.seatLimit() / MM, 1e-9);
    assertEquals(1611.637031291564, mm2(valve.seatArea(14 * MM)), 1e-9);
    assertEquals(Regime.THROAT, valve.regime(14 * MM));
    assertEquals(3, valve.regime(14 * MM).number());
  }

  @Test
  void areaHasNoStepAtEitherLimitAndNeverFalls() {
    double last = 0;
    for (double liftMm = 0; liftMm < 15; liftMm += 0.001) {
      double area = mm2(valve.seatArea(liftMm * MM));
      assertTrue(area >= last && area - last < 0.2, "at " + liftMm + " mm");
      last = area;
    }
    double limit = valve.seatLimit();
    assertEquals(valve.seatArea(limit), valve.seatArea(limit * (1 + 1e-12)), 1e-15);
  }

  @Test
  void aThroatNarrowerThanTheSeatCanOpenLimitsFromTheStart() {
    ValveGeometry choked =
        new ValveGeometry(51.3 * MM, 1.8 * MM, Math.toRadians(45), 18 * MM, 8 * MM);
    assertEquals(Regime.THROAT, choked.regime(3 * MM));
    assertEquals(choked.throatArea(), choked.seatArea(3 * MM));
  }

  /** Definition: π D L = π D²/4 at L/D = 1/4. */
  @Test
  void curtainEqualsTheHeadAtAQuarterOfItsDiameter() {
    double lift = 51.3 * MM / 4;
    assertEquals(0.25, valve.liftRatio(lift), 1e-12);
    assertEquals(valve.headArea(), valve.curtainArea(lift), 1e-15);
  }

  @Test
  void theCurtainOverstatesTheTrueArea() {
    assertEquals(0.67, valve.seatArea(2 * MM) / valve.curtainArea(2 * MM), 0.005);
    assertEquals(0.73, valve.seatArea(6 * MM) / valve.curtainArea(6 * MM), 0.005);
  }

  @Test
  void aDischargeCoefficientNamesItsArea() {
    double effective = 0.5 * valve.curtainArea(6 * MM);
    DischargeCoefficient curtain = valve.dischargeCoefficient(effective, 6 * MM, Area.CURTAIN);
    assertEquals("0.500 over the curtain area", curtain.toString());
    DischargeCoefficient seat = valve.dischargeCoefficient(effective, 6 * MM, Area.SEAT);
    assertEquals(effective, seat.value() * seat.areaM2(), 1e-15);
    assertTrue(seat.value() > curtain.value());
    assertEquals(
        effective / valve.throatArea(),
        valve.dischargeCoefficient(effective, 6 * MM, Area.THROAT).value());
    assertEquals(
        effective / valve.headArea(),
        valve.dischargeCoefficient(effective, 6 * MM, Area.HEAD).value());
  }

  @Test
  void aShutValveHasNoArea() {
    assertEquals(0, valve.seatArea(0));
    assertEquals(0, valve.curtainArea(0));
  }

  @Test
  void impossibleValvesAreRefused() {
    refused("seat width", 0.05, 0.025, 0.785, 0.044, 0.008);
    refused("seat angle", 0.05, 0.0018, 45, 0.044, 0.008);
    refused("throat", 0.05, 0.0018, 0.785, 0.052, 0.008);
    refused("throat", 0.05, 0.0018, 0.785, 0.007, 0.008);
    refused("head diameter", -0.05, 0.0018, 0.785, 0.044, 0.008);
    assertThrows(IllegalArgumentException.class, () -> valve.seatArea(-1e-6));
  }

  private static void refused(
      String words, double head, double width, double angle, double throat, double stem) {
    IllegalArgumentException refusal =
        assertThrows(
            IllegalArgumentException.class,
            () -> new ValveGeometry(head, width, angle, throat, stem));
    assertTrue(refusal.getMessage().startsWith(words), refusal.getMessage());
  }

  private static double mm2(double m2) {
    return m2 * 1e6;
  }
}
