package meniscus.drivers.simulated;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Optional;
import meniscus.core.air.AirState;
import meniscus.core.flow.Direction;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.Test;

/** What is true of each of the demo's changes. */
class DemoChangeTest {

  private static final double INCH = 0.0254;

  @Test
  void aChokeGainsBelowAndLosesMoreTheMoreItFlows() {
    assertTrue(change(DemoChange.CHOKE, 0.1) > 0.02);
    assertTrue(change(DemoChange.CHOKE, 0.5) < -0.03);
    assertTrue(change(DemoChange.CHOKE, 0.6) < change(DemoChange.CHOKE, 0.5));
  }

  @Test
  void aChokeTakesAsMuchAtAnyTestPressureAndAStallDoesNot() {
    double all = change(DemoChange.CHOKE, 0.6, 7000);
    assertEquals(all, change(DemoChange.CHOKE, 0.6, 1750), 0.002);
    assertTrue(change(DemoChange.GRADUAL_STALL, 0.6, 7000) < -0.03);
    assertEquals(0, change(DemoChange.GRADUAL_STALL, 0.6, 1750), 0.003);
    assertEquals(0, change(DemoChange.FAST_FLUTTER, 0.6, 1750), 0.003);
  }

  @Test
  void aWetSeatLosesAtLowLiftAlone() {
    assertTrue(change(DemoChange.WET_SEAT, 0.05) < -0.03);
    assertEquals(0, change(DemoChange.WET_SEAT, 0.4), 0.001);
  }

  @Test
  void whereNothingWasDoneThePortIsAsItWas() {
    for (DemoChange change : List.of(DemoChange.SHIFTED_ZERO, DemoChange.GROWN_LEAK)) {
      assertEquals(0, change(change, 0.1), 1e-12);
      assertEquals(0, change(change, 0.6), 1e-12);
    }
  }

  @Test
  void aDialSetWrongReadsWrongAndAJointLeaks() {
    assertEquals(
        0.05e-3, shutDialM(DemoChange.SHIFTED_ZERO) - shutDialM(DemoChange.WET_SEAT), 1e-5);
    double more = DemoChange.GROWN_LEAK.mounted().leakM3PerS() * Math.pow(6974.5, 0.6);
    assertEquals(2, more / 4.719474e-4, 1e-6);
  }

  @Test
  void eachIsKnownByItsWord() {
    for (DemoChange change : DemoChange.values()) {
      assertEquals(Optional.of(change), DemoChange.named(change.word()));
    }
    assertTrue(DemoChange.named("porting").isEmpty());
  }

  private static double shutDialM(DemoChange change) {
    SimulatedBench bench = new SimulatedBench(Scenario.demo(), 5);
    bench.mount(change.mounted());
    bench.advanceTo(Moment.ofSeconds(1));
    return bench.dialM();
  }

  private static double change(DemoChange change, double inches) {
    return change(change, inches, 6974.5);
  }

  private static double change(DemoChange change, double inches, double testPressurePa) {
    return TrueLift.ladder(
            change.scenario(),
            List.of(inches * INCH),
            Direction.SUCTION,
            testPressurePa,
            new AirState(293.15, 101_325, 0))
        .get(0)
        .relativeDifference();
  }
}
