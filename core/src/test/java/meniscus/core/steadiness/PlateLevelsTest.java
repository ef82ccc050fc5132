package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** How loud a bench is with a plate in the port's place, at the flow of a lift. */
class PlateLevelsTest {

  private static CalmRun plate(double flow, double pascals) {
    return new CalmRun(
        "plate",
        flow,
        CalmRun.Where.UNTOLD,
        Map.of(Band.LOW, new BandLevels.Level(pascals, 0.08 * pascals)),
        new double[0],
        new double[0]);
  }

  private static BandLevels.Level at(double flow, CalmRun... plates) {
    return CalmRecord.of(List.of(plates)).loud(Band.LOW, flow).orElseThrow();
  }

  /** By hand: 0.06 and 0.08 make 0.10; two runs of one plate, 0.10/√2. */
  @Test
  void atAPlateItIsThePlatesOwn() {
    assertEquals(30, at(4e-4, plate(4e-4, 30)).rms(), 1e-9);
    assertEquals(0.10 * 30, at(4e-4, plate(4e-4, 30)).standardUncertainty(), 1e-9);
    BandLevels.Level twice = at(4e-4, plate(4e-4, 20), plate(4e-4, 45), plate(16e-4, 60));
    assertEquals(30, twice.rms(), 1e-9, "the geometric mean");
    assertEquals(0.10 / Math.sqrt(2) * 30, twice.standardUncertainty(), 1e-9);
  }

  /** Half way between the flows as ratios, half way between the levels as ratios. */
  @Test
  void betweenTwoPlatesItGoesEvenlyOverTheRatioOfFlows() {
    BandLevels.Level middle = at(8e-4, plate(4e-4, 10), plate(16e-4, 40));
    assertEquals(20, middle.rms(), 1e-9);
    assertEquals(0.10 / Math.sqrt(2) * 20, middle.standardUncertainty(), 1e-9);
  }

  /** As the flow, and anything from not at all to its square as doubt. */
  @Test
  void aLittleBeyondThePlatesTheDoubtGrowsAndFurtherAwayNothingIsSaid() {
    BandLevels.Level beyond = at(1.4 * 4e-4, plate(4e-4, 30));
    assertEquals(1.4 * 30, beyond.rms(), 1e-9);
    double doubt = Math.log(1.4) / Math.sqrt(3);
    assertEquals(Math.hypot(0.10, doubt) * 42, beyond.standardUncertainty(), 1e-9);
    CalmRecord one = CalmRecord.of(List.of(plate(4e-4, 30)));
    assertTrue(one.loud(Band.LOW, 1.6 * 4e-4).isEmpty());
    assertTrue(one.loud(Band.LOW, 4e-4 / 1.6).isEmpty());
    assertTrue(one.loud(Band.HIGH, 4e-4).isEmpty(), "never recorded");
    assertTrue(one.loud(Band.LOW, Double.NaN).isEmpty());
  }
}
