package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import meniscus.core.air.AirState;
import meniscus.core.air.ReferenceAir;
import meniscus.core.quantity.Unit;
import org.junit.jupiter.api.Test;

class EffectiveAreaTest {

  private static final double TEST_PRESSURE = Unit.INCH_OF_WATER.toSi(28);

  private final AirState room = new AirState(303.15, 97_000, 0.4);
  private final ReferenceState reference =
      new ReferenceState(ReferenceAir.DRY_68F.state(), TEST_PRESSURE);

  @Test
  void massFlowAndEffectiveAreaUndoEachOther() {
    double massFlow = EffectiveArea.toMassFlow(1.1e-3, room, 6000);
    assertEquals(1.1e-3, EffectiveArea.fromMassFlow(massFlow, room, 6000), 1e-17);
  }

  @Test
  void aPortHasTheSameAreaWhateverTheWeatherAndPressure() {
    AirState winter = AirState.dry(288.15, 103_000);
    double atRoom = EffectiveArea.toMassFlow(1.1e-3, room, 6000);
    double inWinter = EffectiveArea.toMassFlow(1.1e-3, winter, 2500);
    assertEquals(
        EffectiveArea.fromMassFlow(atRoom, room, 6000),
        EffectiveArea.fromMassFlow(inWinter, winter, 2500),
        1e-16);
  }

  @Test
  void withoutATestPressureThereIsNoEffectiveArea() {
    assertTrue(Double.isNaN(EffectiveArea.fromMassFlow(0.1, room, 0)));
    assertTrue(Double.isNaN(EffectiveArea.fromMassFlow(0.1, room, -3)));
    assertTrue(Double.isNaN(EffectiveArea.toMassFlow(1e-3, room, 97_000)));
  }

  @Test
  void referenceFlowCarriesWhatItIsStatedFor() {
    double flow = reference.volumeFlow(1.1e-3);
    AirState air = ReferenceAir.DRY_68F.state();
    assertEquals(EffectiveArea.toMassFlow(1.1e-3, air, TEST_PRESSURE), flow * air.density(), 1e-15);
  }

  @Test
  void restatingAtAnotherTestPressureIsTheNozzlesScaling() {
    ReferenceState at10 =
        new ReferenceState(ReferenceAir.DRY_68F.state(), Unit.INCH_OF_WATER.toSi(10));
    AirState air = ReferenceAir.DRY_68F.state();
    double factor =
        PressureScaling.NOZZLE.factor(
            at10.testPressurePa(), TEST_PRESSURE, air.pressurePa(), air.kappa(), 0);
    assertEquals(at10.volumeFlow(1.1e-3) * factor, reference.volumeFlow(1.1e-3), 1e-14);
  }

  @Test
  void aReferenceTestPressureMustBePossible() {
    assertThrows(IllegalArgumentException.class, () -> new ReferenceState(AirState.DRY_20C, 0));
    assertThrows(
        IllegalArgumentException.class, () -> new ReferenceState(AirState.DRY_20C, 101_325));
  }
}
