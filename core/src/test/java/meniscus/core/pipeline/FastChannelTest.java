package meniscus.core.pipeline;

import static meniscus.core.pipeline.HandFedBench.rung;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.bench.Use;
import meniscus.core.finding.Finding;
import meniscus.core.finding.SignSearch;
import meniscus.core.lift.Beside;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.LoudTenth;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.Band;
import meniscus.core.steadiness.BandLevels;
import meniscus.core.steadiness.CalmRecord;
import meniscus.core.steadiness.CalmRun;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** A fast channel, a probe and a channel without a use beside the flow of a test. */
@Tag("long")
class FastChannelTest {

  /** Flow falls at the last of four high lifts; the air is as calm as before to the flow gauges. */
  private static HandFedBench falling(double louder) {
    return falling(louder, 0.8);
  }

  /** The last lift flows less and its tap is louder. */
  private static HandFedBench falling(double louder, double flows) {
    return falling(
        HandFedBench.withBoard(Use.FLUCTUATION, FastChannelTest::fourHighLifts), louder, flows);
  }

  private static HandFedBench.Settings fourHighLifts(HandFedBench.Settings plan) {
    return plan.ladder(rung(1, 9), rung(2, 9.5), rung(3, 10), rung(4, 11));
  }

  private static HandFedBench falling(HandFedBench bench, double louder, double flows) {
    bench.start();
    climb(bench, 3);
    bench.flowFactor = flows;
    bench.loudPa *= louder;
    climb(bench, 1);
    bench.hold(61);
    assertTrue(bench.run().finished());
    return bench;
  }

  private static Finding finding(HandFedBench bench) {
    return SignSearch.in(
            new TestCurve(
                "t",
                "",
                "",
                Optional.empty(),
                bench.plan,
                Optional.empty(),
                List.of(),
                bench.replay().points()))
        .orElseThrow();
  }

  @Test
  void aLossWithALouderTapIsLikelyTheShortSide() {
    Finding finding = finding(falling(4));
    assertEquals(Finding.Kind.LIKELY_SHORT_SIDE, finding.kind());
    assertTrue(
        finding.evidence().stream().anyMatch(e -> e.contains("the fast channel is louder")),
        finding.evidence().toString());
  }

  /** Over the flow squared it would be 2.2 times as loud; a blower does not hear the flow. */
  @Test
  void aRoomAsLoudAsBeforeIsNoSignWhereTheFlowFallsByFar() {
    Finding finding = finding(falling(1, 0.6));
    assertEquals(Finding.Kind.LOSES_AT_HIGH_LIFT, finding.kind(), finding.evidence().toString());
    assertEquals(Finding.Kind.LIKELY_SHORT_SIDE, finding(falling(2, 0.6)).kind());
  }

  /** Levels between two plates of the port's own flows, in every band [Pa]. */
  private static CalmRecord plates(List<LiftPoint> port, double atLastLift, double atHighestFlow) {
    return CalmRecord.of(
        List.of(
            plate(port.get(3).effectiveAreaM2(), atLastLift),
            plate(port.get(2).effectiveAreaM2(), atHighestFlow)));
  }

  private static CalmRun plate(double areaM2, double pascals) {
    Map<Band, BandLevels.Level> loud = new EnumMap<>(Band.class);
    for (Band band : Band.values()) {
      double share = Math.sqrt((band.highHz() - band.lowHz()) / 500);
      loud.put(band, new BandLevels.Level(pascals * share, 0.02 * pascals * share));
    }
    return new CalmRun(
        "plate " + areaM2, areaM2, CalmRun.Where.UNTOLD, loud, new double[2], new double[2]);
  }

  /** A microphone that stays on the bench, of which plates tell what room and blower are. */
  @Test
  void whatAPlateOfSuchAFlowMakesAsLoudIsNoSign() {
    double flows = 0.6;
    List<LiftPoint> port = falling(1, flows).run().points();
    Map<String, CalmRecord> howls = new LinkedHashMap<>();
    howls.put("quiet", plates(port, 30, 30));
    howls.put("the blower howls where the flow is less", plates(port, 120, 30));
    howls.put("the room was as loud with plates", plates(port, 125, 125));
    howls.forEach(
        (what, plates) -> {
          Finding finding =
              finding(
                  falling(
                      HandFedBench.withBoard(
                              Use.FLUCTUATION_ON_BENCH, FastChannelTest::fourHighLifts)
                          .withCalm(plates),
                      4,
                      flows));
          boolean quiet = what.equals("quiet");
          assertEquals(
              quiet ? Finding.Kind.LIKELY_SHORT_SIDE : Finding.Kind.LOSES_AT_HIGH_LIFT,
              finding.kind(),
              what + ": " + finding.evidence());
          // 20 lg 4 is 12.
          assertEquals(
              quiet,
              finding.evidence().stream().anyMatch(e -> e.contains("(12 dB above a plate)")),
              finding.evidence().toString());
        });
  }

  /** A tap in the head has no plates to be held against, whatever the record holds. */
  @Test
  void aTapInThePortIsNotHeldAgainstPlates() {
    List<LiftPoint> port = falling(1).run().points();
    HandFedBench bench =
        falling(
            HandFedBench.withBoard(Use.FLUCTUATION, FastChannelTest::fourHighLifts)
                .withCalm(plates(port, 120, 30)),
            4,
            0.8);
    assertEquals(Finding.Kind.LIKELY_SHORT_SIDE, finding(bench).kind());
    assertTrue(bench.run().points().get(3).beside(Band.LOW.wordOnPlates()).isEmpty());
  }

  /** What stands in the folder is what the replay of the frames comes to, and no rung's is lost. */
  @Test
  void everyTenthOfASecondOfAKeptRungHasItsLevels() {
    HandFedBench bench = falling(3, 0.8);
    List<LoudTenth> loud = loud(bench.replay());
    assertEquals(loud, loud(bench.replay()));
    for (LiftPoint point : bench.run().points()) {
      List<LoudTenth> its = loud.stream().filter(t -> t.rung() == point.rung()).toList();
      // One a tenth but for the first half second, of which the rate is learned, and the last.
      assertEquals(10 * point.average().seconds(), its.size(), 8);
      double squares = its.stream().mapToDouble(t -> t.lowPa() * t.lowPa()).average().orElseThrow();
      double level = point.beside(Band.LOW.word()).orElseThrow().value();
      assertEquals(level, Math.sqrt(squares), 0.05 * level);
      assertTrue(its.stream().allMatch(t -> Double.isNaN(t.highPa())), "1 kHz shows no 2 kHz");
      for (int i = 1; i < its.size(); i++) {
        assertEquals(1, its.get(i).tenth() - its.get(i - 1).tenth(), "no tenth is left out");
      }
    }
  }

  @Test
  void aLossWithATapAsLoudAsBeforeIsNot() {
    assertEquals(Finding.Kind.LOSES_AT_HIGH_LIFT, finding(falling(1)).kind());
  }

  @Test
  void levelsVelocityAndMeanStandBesideTheFlowAndWorkOutTheSameAgain() {
    HandFedBench bench = falling(1);
    List<LiftPoint> points = bench.run().points();
    assertEquals(points, bench.replay().points());
    LiftPoint point = points.get(0);
    // White noise of 30 Pa at 1 kHz: its share of 20 to 100 Hz out of 500 Hz goes with the root.
    double expected = 30 * Math.sqrt(80 / 500.0);
    Beside low = point.beside(Band.LOW.word()).orElseThrow();
    assertEquals(expected, low.value(), 0.1 * expected);
    assertTrue(point.beside(Band.HIGH.word()).isEmpty());
    Beside swirl = point.beside("board.swirl").orElseThrow();
    assertEquals(Unit.ONE, swirl.unit());
    assertEquals(0.25, swirl.value(), 1e-9);
    assertEquals(0, swirl.u95().orElseThrow(), 1e-9);
    assertFalse(
        point.beside("manometer.drop").isPresent(), "a channel with a use is none of these");
  }

  /** The flow goes on without it. */
  @Test
  void aBoardThatGoesDoesNotStopTheTest() {
    HandFedBench bench = HandFedBench.withBoard(plan -> plan.ladder(rung(1, 4))).start();
    bench.blower(HandFedBench.AIM_PA).lift(4).hold(2);
    bench.run().happened(bench.now(), new meniscus.core.lift.TestEvent.Lost("board", "unplugged"));
    bench.boardOn = false;
    assertTrue(bench.holdUntilKept());
    assertFalse(bench.wasTold(OperatorMessage.Kind.BROKEN_OFF));
  }

  private static void climb(HandFedBench bench, int rungs) {
    for (int i = 0; i < rungs; i++) {
      bench
          .blower(10 * Math.rint(bench.run().aimPa() / 10))
          .lift(1e3 * bench.run().wanted().orElseThrow().liftM());
      assertTrue(bench.holdUntilKept(), "rung " + bench.run().wanted());
    }
  }

  private static List<LoudTenth> loud(Replay replay) {
    return replay.loud(replay.points());
  }
}
