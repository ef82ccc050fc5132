package meniscus.core.air;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import org.junit.jupiter.api.Test;

class AirStateTest {

  @Test
  void roomAirHasNothingToDoubt() {
    AirState air = new AirState(294.15, 100_000, 0.4);
    assertEquals(List.of(), air.warnings());
  }

  @Test
  void motorHeatedAirIsComputedAndSaidToBeExtrapolated() {
    AirState air = new AirState(313.15, 108_000, 0.2);
    assertEquals(1, air.warnings().size());
    assertTrue(air.warnings().get(0).startsWith("air temperature 40.0 °C is outside 15 to 27 °C"));
    assertTrue(air.density() > 1.1 && air.density() < 1.3);
  }

  @Test
  void aColdShopOnAHighPlateauBreaksBothLimits() {
    List<String> warnings = new AirState(273.15, 59_000, 0.5).warnings();
    assertEquals(2, warnings.size());
    assertTrue(warnings.get(1).startsWith("air pressure 590.0 hPa is outside 600 to 1100 hPa"));
  }

  @Test
  void theLimitsThemselvesAreWithin() {
    assertEquals(List.of(), AirState.dry(288.15, 60_000).warnings());
    assertEquals(List.of(), AirState.dry(300.15, 110_000).warnings());
    assertEquals(1, AirState.dry(288.14, 60_000).warnings().size());
    assertEquals(1, AirState.dry(288.15, 59_999).warnings().size());
    assertEquals(1, AirState.dry(300.16, 110_000).warnings().size());
    assertEquals(1, AirState.dry(300.15, 110_001).warnings().size());
  }

  @Test
  void nonsenseIsRefusedInPlainWords() {
    refused("air temperature 23.0 K is not within 200 to 400 K: was it meant", 23, 101_325, 0.5);
    refused("air temperature NaN K", Double.NaN, 101_325, 0.5);
    refused("air pressure -6974.0 Pa must be absolute and above zero", 293.15, -6974, 0.5);
    refused("air pressure Infinity Pa", 293.15, Double.POSITIVE_INFINITY, 0.5);
    refused("relative humidity 50.0 is not within 0 to 1 (0 to 100 %)", 293.15, 101_325, 50);
    refused("relative humidity -0.1 is not within", 293.15, 101_325, -0.1);
    refused("air pressure 1000000000 Pa is not within 10 kPa to 1 MPa", 293.15, 1e9, 0.5);
    refused("air pressure 1013 Pa is not within 10 kPa to 1 MPa", 293.15, 1013, 0);
    refused("at 20.0 °C air of 1013 Pa cannot hold 100 % humidity", 293.15, 1013, 1);
  }

  private static void refused(String words, double temperatureK, double pressurePa, double h) {
    IllegalArgumentException refusal =
        assertThrows(
            IllegalArgumentException.class, () -> new AirState(temperatureK, pressurePa, h));
    assertTrue(refusal.getMessage().startsWith(words), refusal.getMessage());
  }

  @Test
  void airDrawnToLowerPressureKeepsItsVapourAndBecomesRelativelyDrier() {
    AirState room = new AirState(295.15, 101_325, 0.6);
    AirState plenum = room.movedTo(295.15, 94_350);
    assertEquals(room.vapourFraction(), plenum.vapourFraction());
    assertEquals(0.6 * 94_350 / 101_325, plenum.relativeHumidity(), 2e-4);
    assertEquals(room, plenum.movedTo(295.15, 101_325));
    assertEquals(0.6, plenum.movedTo(295.15, 101_325).relativeHumidity(), 1e-12);
  }

  @Test
  void nearlySaturatedAirBlownToHigherPressureIsSaidToCondense() {
    AirState plenum = new AirState(295.15, 101_325, 0.98).movedTo(295.15, 108_000);
    assertTrue(plenum.relativeHumidity() > 1);
    assertTrue(plenum.warnings().get(0).contains("water may condense"));
  }

  @Test
  void moistAirIsLighterAndSoundIsFasterInIt() {
    AirState dry = AirState.dry(298.15, 100_000);
    AirState moist = new AirState(298.15, 100_000, 1);
    assertTrue(moist.density() < dry.density());
    assertTrue(moist.soundSpeed() > dry.soundSpeed());
    assertTrue(moist.gasConstant() > dry.gasConstant());
  }

  @Test
  void printsForPeople() {
    assertEquals(
        "101325 Pa, 20.00 °C, 50.0 % humidity", new AirState(293.15, 101_325, 0.5).toString());
    assertEquals("101325 Pa, 20.00 °C, dry", AirState.dry(293.15, 101_325).toString());
  }
}
