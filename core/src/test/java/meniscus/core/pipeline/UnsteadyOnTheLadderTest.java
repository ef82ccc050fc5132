package meniscus.core.pipeline;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.IntStream;
import meniscus.core.finding.UnsteadyLifts;
import meniscus.core.lift.LiftPoint;
import meniscus.core.steadiness.CalmRecord;
import meniscus.core.steadiness.CalmRun;
import meniscus.core.steadiness.Verdict;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * Rough is what the plates are not; unsteady is what the port's next lift is not. Both through a
 * whole ladder, with the lift that each was held against.
 */
@Tag("long")
class UnsteadyOnTheLadderTest {

  /** Of the drop; the flow goes with its root. */
  private static final double PLATE = 0.002;

  private static final double PORT = 4 * PLATE;

  /** From 0.2 of the valve's 45 mm on the port rules the flow. */
  private static final double[] HIGH_MM = {9.2, 9.8, 10.4, 11.0, 11.6};

  private static final double[] LOW_MM = {2, 4, 6};

  @Test
  void theOneLiftRougherThanTheNearestIsUnsteadyAndTheOthersAreRough() {
    HandFedBench bench = taken(HIGH_MM, PORT, PORT, PORT, 3 * PORT, PORT);
    assertEquals(
        List.of(Verdict.ROUGH, Verdict.ROUGH, Verdict.ROUGH, Verdict.UNSTEADY, Verdict.ROUGH),
        verdicts(bench.run().points()));
    assertEquals(1, toldRougher(bench).size());
    assertTrue(toldRougher(bench).get(0).contains("at 10.40 mm"), toldRougher(bench).toString());
    // At the bench the next lift was not known yet: it is held against the one below.
    assertEquals(OptionalDouble.of(10.4), heldAgainst(bench, 4, 3));
    assertEquals(
        verdicts(bench.run().points()),
        verdicts(bench.replay().points()),
        "worked out again from what was written down");
  }

  @Test
  void aPortRoughAtEveryLiftIsUnsteadyAtNone() {
    HandFedBench bench = taken(HIGH_MM, PORT, PORT, PORT, PORT, PORT);
    assertEquals(List.of(), toldRougher(bench));
    assertEquals(
        IntStream.range(0, 5).mapToObj(i -> Verdict.ROUGH).toList(),
        verdicts(bench.run().points()));
  }

  /** From valve to port any port's air grows rougher: the lift above has to be calmer too. */
  @Test
  void whereTheSeatRulesAStepUpToAPortThatStaysRoughIsNone() {
    HandFedBench bench = taken(LOW_MM, PORT, 3 * PORT, 3 * PORT);
    assertEquals(List.of(), toldRougher(bench));
    assertEquals(
        List.of(Verdict.ROUGH, Verdict.ROUGH, Verdict.ROUGH), verdicts(bench.replay().points()));
    HandFedBench alone = taken(LOW_MM, PORT, 3 * PORT, PORT);
    // The lift above is known at the end only, and the end is what the folder says.
    assertEquals(
        List.of(Verdict.ROUGH, Verdict.UNSTEADY, Verdict.ROUGH), verdicts(alone.replay().points()));
  }

  /** A ladder by hand, each lift with its own fluctuation. */
  private static HandFedBench taken(double[] liftsMm, double... noise) {
    HandFedBench bench =
        HandFedBench.withDial(
                true,
                settings ->
                    settings.ladder(
                        IntStream.range(0, liftsMm.length)
                            .mapToObj(i -> HandFedBench.rung(i + 1, liftsMm[i]))
                            .toList()))
            .withCalm(plates())
            .start()
            .blower(HandFedBench.AIM_PA);
    for (int i = 0; i < liftsMm.length; i++) {
      bench.noise = noise[i];
      bench.lift(liftsMm[i]).holdUntilKept();
    }
    assertEquals(liftsMm.length, bench.run().points().size());
    return bench;
  }

  /** Six plates, a minute each: white noise, as the hand-fed bench makes it. */
  private static CalmRecord plates() {
    Random random = new Random(515);
    List<CalmRun> runs = new ArrayList<>();
    for (int run = 0; run < 6; run++) {
      int size = 60 * 20;
      double[] seconds = IntStream.range(0, size).mapToDouble(i -> i / 20.0).toArray();
      double[] values =
          IntStream.range(0, size)
              .mapToDouble(i -> Math.sqrt(1 + PLATE * random.nextGaussian()))
              .toArray();
      runs.add(CalmRun.of("plate " + run, seconds, values));
    }
    return CalmRecord.of(runs);
  }

  private static List<Verdict> verdicts(List<LiftPoint> points) {
    TreeMap<Integer, Verdict> byRung = new TreeMap<>();
    points.forEach(point -> byRung.put(point.rung(), point.verdict()));
    return List.copyOf(byRung.values());
  }

  /** What was said of it at the bench. */
  private static List<String> toldRougher(HandFedBench bench) {
    return bench.told.stream()
        .filter(told -> told.kind() == OperatorMessage.Kind.ROUGHER)
        .map(new MessageWords(bench.plan)::sentence)
        .toList();
  }

  /** What a rung was held against when so many were kept [mm]. */
  private static OptionalDouble heldAgainst(HandFedBench bench, int rung, int kept) {
    return UnsteadyLifts.calmerNeighbour(
            bench.plan, bench.keptOverTheLine.get(rung - 1), bench.keptOverTheLine.subList(0, kept))
        .map(point -> OptionalDouble.of(millimetres(point)))
        .orElse(OptionalDouble.empty());
  }

  private static double millimetres(LiftPoint point) {
    return Math.round(point.liftM() * 1e5) / 100.0;
  }
}
