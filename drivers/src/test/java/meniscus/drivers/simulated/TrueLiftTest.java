package meniscus.drivers.simulated;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import java.util.stream.IntStream;
import meniscus.core.air.ReferenceAir;
import meniscus.core.flow.Direction;
import org.junit.jupiter.api.Test;

/** The demo's truth: what the change did, lift by lift. */
class TrueLiftTest {

  private static List<TrueLift> ladder(Scenario scenario, Direction direction) {
    return TrueLift.ladder(
        scenario,
        IntStream.rangeClosed(1, 12).mapToObj(step -> step * 0.05 * Stand.INCH).toList(),
        direction,
        Stand.AIM,
        ReferenceAir.DRY_20C.state());
  }

  @Test
  void theBlendGainsLowDoesNothingInTheMiddleAndLosesHigh() {
    List<String> outcomes =
        ladder(Scenario.demo(), Direction.SUCTION).stream()
            .map(lift -> lift.outcome(0.01))
            .toList();
    String none = "no real change";
    assertEquals(
        List.of(
            "gain", "gain", "gain", "gain", "gain", "gain", none, none, none, "loss", "loss",
            "loss"),
        outcomes);
  }

  @Test
  void aShortSideThatHoldsLosesNothing() {
    List<TrueLift> sound = ladder(Scenario.demo().without(Effect.SHORT_SIDE), Direction.SUCTION);
    assertEquals(0, sound.get(11).relativeDifference(), 1e-12);
  }

  /**
   * By hand at 0.300 in: CdA = 0.648 · π · 49.276 mm · 7.62 mm = 764.4 mm²; isentropic factor
   * 0.96242 at 28 inH2O (found again by integrating dp/ρ numerically, apart from this program); air
   * of 101325 Pa, 20 °C, dry has 1.2046 kg/m³ (handbook 1.204).
   */
  @Test
  void oneLiftWorkedOutByHand() {
    TrueLift lift = ladder(Scenario.demo(), Direction.SUCTION).get(5);
    assertEquals(764.4e-6, lift.beforeAreaM2(), 0.1e-6);
    double flow = 764.4e-6 * 0.96242 * Math.sqrt(2 * 6974.49 / 1.2046);
    assertEquals(flow, lift.beforeM3PerS(), 2e-4 * flow);
    assertEquals(167.7, lift.beforeM3PerS() / Stand.CFM, 0.1);
  }

  @Test
  void flowsCoverWhatTheDemoAimsAt() {
    List<TrueLift> ladder = ladder(Scenario.demo(), Direction.SUCTION);
    assertEquals(25, ladder.get(0).beforeM3PerS() / Stand.CFM, 1);
    assertEquals(247, ladder.get(11).beforeM3PerS() / Stand.CFM, 2);
  }

  @Test
  void blownTheOtherWayTheBlendStillGainsButNothingGivesUp() {
    List<TrueLift> blown = ladder(Scenario.demo(), Direction.BLOWING);
    assertEquals(0.04, blown.get(1).relativeDifference(), 1e-6);
    assertEquals(0, blown.get(11).relativeDifference(), 1e-6);
  }
}
