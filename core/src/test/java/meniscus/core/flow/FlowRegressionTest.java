package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;

import meniscus.core.air.AirState;
import meniscus.core.quantity.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Regression only: values worked out by hand from the same equations, no outside proof. */
class FlowRegressionTest {

  private static final double INCHES_28 = Unit.INCH_OF_WATER.toSi(28);
  private static final double HANDBOOK = Unit.POUND_PER_CUBIC_FOOT.toSi(0.075);

  /** Limit of ISO 5167-2 equation (4) for β to 0. */
  @ParameterizedTest
  @CsvSource({
    "1e4, 0.60919",
    "2e4, 0.60416",
    "5e4, 0.60034",
    "1e5, 0.59871",
    "2e5, 0.59771",
    "1e300, 0.5961"
  })
  void coefficientBetweenRooms(double boreReynolds, double expected) {
    assertEquals(expected, OrificePlate.betweenRooms(0.03).coefficient(boreReynolds), 2e-5);
  }

  @Test
  void expansibilityBetweenRoomsAt28Inches() {
    assertEquals(0.98257, Expansibility.ISO_2003.factor(0, 101_325, INCHES_28, 1.4), 1e-5);
    assertEquals(0.97984, Expansibility.ISO_1991.factor(0, 101_325, INCHES_28, 1.4), 1e-5);
  }

  /** Bore Reynolds numbers of thin plates with C = 0.6, ρ 1.2014 kg/m³, μ 1.82e-5 Pa s. */
  @ParameterizedTest
  @CsvSource({
    "12.5, 28, 53000",
    "12.5, 1, 10000",
    "25, 10, 63500",
    "50, 28, 212000",
    "50, 1, 40100"
  })
  void boreReynoldsNumbers(double boreMm, double inches, double expected) {
    OrificePlate plate = OrificePlate.betweenRooms(boreMm * 1e-3);
    double massFlow = 0.6 * plate.idealMassFlow(1.2014, Unit.INCH_OF_WATER.toSi(inches));
    assertEquals(expected, plate.boreReynolds(massFlow, 1.82e-5), expected * 0.02);
  }

  @Test
  void idealVelocityAndFlowPerAreaAt28Inches() {
    double incompressible = Nozzle.massFlux(HANDBOOK, 1e12, INCHES_28, 1.4) / HANDBOOK;
    double isentropic = Nozzle.massFlux(HANDBOOK, 101_325, INCHES_28, 1.4) / HANDBOOK;
    assertEquals(353.5, Unit.FOOT_PER_SECOND.fromSi(incompressible), 0.1);
    assertEquals(147.3, cfmPerSquareInch(incompressible), 0.1);
    assertEquals(141.8, cfmPerSquareInch(isentropic), 0.1);
  }

  /** 250 cfm of 0.075 lb/ft³ at 28 inH2O through a 2.02 in valve at 0.500 in. */
  @Test
  void dischargeCoefficientOfAGoodIntake() {
    double curtain = Math.PI * Unit.INCH_LENGTH.toSi(2.02) * Unit.INCH_LENGTH.toSi(0.5);
    double massFlow = Unit.CUBIC_FOOT_PER_MINUTE.toSi(250) * HANDBOOK;
    double incompressible = EffectiveArea.fromMassFlow(massFlow, HANDBOOK, 1e12, INCHES_28, 1.4);
    double isentropic = EffectiveArea.fromMassFlow(massFlow, HANDBOOK, 101_325, INCHES_28, 1.4);
    assertEquals(3.173, Unit.SQUARE_INCH.fromSi(curtain), 1e-4);
    assertEquals(1.6977, Unit.SQUARE_INCH.fromSi(incompressible), 1e-3);
    assertEquals(0.535, incompressible / curtain, 3e-4);
    assertEquals(0.5558, isentropic / curtain, 3e-4);
  }

  /** 1.07392 by ρ ~ p; ours is a real gas, 2e-5 away. */
  @Test
  void airDrawnTo28InchesBelowTheRoomIsThinner() {
    AirState room = AirState.dry(293.15, 101_325);
    double ratio = room.density() / room.movedTo(293.15, 101_325 - INCHES_28).density();
    assertEquals(1.07392, ratio, 4e-5);
    assertEquals(3.63, 100 * (Math.sqrt(ratio) - 1), 0.01);
  }

  /** At a fixed drop and area, volume goes as 1/√ρ and mass as √ρ; tiny drop, so that Y is 1. */
  @Test
  void flowScalesWithTheRootOfDensity() {
    AirState warm = new AirState(303.15, 97_000, 0.4);
    AirState handbook = AirState.dry(294.0, 101_325);
    double scale = 1.2014 / handbook.density();
    double mass =
        EffectiveArea.toMassFlow(1e-3, warm, 1)
            / (EffectiveArea.toMassFlow(1e-3, handbook, 1) * Math.sqrt(scale));
    assertEquals(0.9600524990356216, mass, 4e-4);
    assertEquals(1.0416097046823023, mass * 1.2014 / warm.density(), 4e-4);
    assertEquals(-3.994750096437838, 100 * (mass - 1), 0.04);
  }

  /** What gauge errors cost in flow, %: the square-root law. */
  @Test
  void gaugeErrors() {
    assertEquals(0.178, rootError(28, 28.1), 1e-3);
    assertEquals(4.88, rootError(1, 1.1), 0.01);
    assertEquals(0.148, rootError(997.047, 1000), 0.002);
    assertEquals(-0.136, rootError(9.80665, 9.780), 0.001);
    assertEquals(-0.05, rootError(249.0889, 248.84), 0.002);
  }

  @Test
  void aTenthOfAMillimetreOnTheBore() {
    double error =
        OrificePlate.betweenRooms(0.0251).idealMassFlow(1.2, 2500)
            / OrificePlate.betweenRooms(0.025).idealMassFlow(1.2, 2500);
    assertEquals(0.802, 100 * (error - 1), 1e-3);
  }

  private static double rootError(double truth, double taken) {
    return 100 * (PressureScaling.ROOT.factor(truth, taken, 1e6, 1.4, 0) - 1);
  }

  private static double cfmPerSquareInch(double metresASecond) {
    return Unit.CUBIC_FOOT_PER_MINUTE.fromSi(metresASecond * Unit.SQUARE_INCH.toSi(1));
  }
}
