package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Optional;
import meniscus.core.air.AirState;
import meniscus.core.bench.StatedCoefficient;
import meniscus.core.budget.SmallBench;
import meniscus.core.calibrate.PlateReading.Bevel;
import org.junit.jupiter.api.Test;

class PlateTest {

  private static final double CFM = 0.3048 * 0.3048 * 0.3048 / 60;

  @Test
  void aStatedFlowComesBackInTheAirItWasStatedFor() {
    AirState air = AirState.dry(288.7, 101000);
    Plate plate =
        Plate.stated("A", 200 * CFM, SmallBench.TEST_PRESSURE, Optional.of(air), 0.005, "maker");
    assertEquals(200 * CFM, plate.massFlow(SmallBench.TEST_PRESSURE, air) / air.density(), 1e-9);
  }

  @Test
  void withoutItsAirAStatedFlowIsWider() {
    Plate with =
        Plate.stated("A", 0.1, 7000, Optional.of(AirState.dry(293.15, 101325)), 0.005, "maker");
    Plate without = Plate.stated("A", 0.1, 7000, Optional.empty(), 0.005, "maker");
    assertEquals(with.ownUncertainty(), without.ownUncertainty());
    assertTrue(without.commonUncertainty() > 2 * with.commonUncertainty());
  }

  @Test
  void aBoreAloneIsWiderThanACertificate() {
    Plate certified =
        Plate.certified("A", 0.04, 1e-5, new StatedCoefficient(0.602, 0.0025), "laboratory");
    Plate bare = Plate.byEquation("B", 0.04, 1e-5);
    assertTrue(bare.commonUncertainty() > 3 * certified.commonUncertainty());
    // 0.01 mm of 40 mm, squared: 0.05 %, rectangular.
    assertEquals(0.0005 / Math.sqrt(3), bare.ownUncertainty(), 1e-9);
  }

  @Test
  void aBevelThatLooksUpstreamIsRefused() {
    PlateReading good = new HiddenBench(1, 0).readings().get(0);
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class,
            () -> new PlateReading("P34", Bevel.UPSTREAM, good.means()));
    assertTrue(refused.getMessage().contains("turn it over"), refused.getMessage());
  }

  @Test
  void theUncertaintyCommonToAllPlatesDoesNotShrinkWithTheirNumber() {
    HiddenBench hidden = new HiddenBench(5, 0);
    var all =
        CalibrationFit.fit(
            hidden.bench,
            hidden.bench.ranges().get(0),
            hidden.direction,
            Optional.of(hidden.measuredLeak),
            hidden.plates(),
            hidden.readings(),
            SmallBench.AT);
    double u =
        all.element()
            .relativeStandardUncertainty(all.element().referenceDropPa(), SmallBench.room());
    assertTrue(u > 0.0025 * Math.sqrt(0.5), "u " + u);
  }

  @Test
  void aPlateCheckOnAGoodBenchIsWithinItsLimit() {
    int within = 0;
    int runs = 40;
    for (int seed = 100; seed < 100 + runs; seed++) {
      HiddenBench hidden = new HiddenBench(seed, 0);
      var calibration =
          CalibrationFit.fit(
              hidden.bench,
              hidden.bench.ranges().get(0),
              hidden.direction,
              Optional.of(hidden.measuredLeak),
              hidden.plates(),
              hidden.readings(),
              SmallBench.AT);
      PlateCheck check =
          PlateCheck.of(
              hidden.bench,
              hidden.bench.ranges().get(0),
              calibration.named("abc"),
              Optional.of(hidden.measuredLeak),
              hidden.plates().get(2),
              hidden.readings().get(7),
              SmallBench.AT,
              "");
      assertEquals(1, check.entry().value(), 0.02);
      within += check.entry().withinLimit() ? 1 : 0;
    }
    assertTrue(within >= 0.85 * runs, within + " of " + runs);
  }
}
