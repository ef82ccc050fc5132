package meniscus.core.air;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Optional;
import org.junit.jupiter.api.Test;

class BarometerTest {

  @Test
  void stationAndSeaLevelPressureUndoEachOther() {
    double station = Barometer.stationPressure(102_000, 450);
    assertEquals(102_000, Barometer.seaLevelPressure(station, 450), 1e-6);
    assertTrue(station < 97_500);
  }

  @Test
  void ordinaryWeatherIsNotDoubted() {
    assertEquals(Optional.empty(), Barometer.doubt(101_325, 20));
    assertEquals(Optional.empty(), Barometer.doubt(Barometer.stationPressure(99_000, 600), 600));
  }

  @Test
  void aSeaLevelReadingInTheHillsIsRecognised() {
    String doubt = Barometer.doubt(101_500, 600).orElseThrow();
    assertTrue(doubt.contains("is it a sea-level reading? The station pressure would then be 94"));
  }

  @Test
  void aReadingThatFitsNothingIsSaidToBeWrong() {
    String doubt = Barometer.doubt(60_000, 100).orElseThrow();
    assertTrue(doubt.endsWith("check the barometer, its unit and the altitude"), doubt);
  }

  @Test
  void anAltitudeWithoutBenchesIsRefused() {
    assertThrows(IllegalArgumentException.class, () -> Barometer.stationPressure(101_325, 20_000));
    assertThrows(
        IllegalArgumentException.class, () -> Barometer.stationPressure(101_325, Double.NaN));
  }
}
