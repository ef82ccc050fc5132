package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.stream.IntStream;
import meniscus.core.compare.StrangePorts.Told;
import meniscus.core.compare.StrangePorts.Truth;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.finding.PressureSweep;
import meniscus.core.steadiness.Verdict;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/**
 * What is said of ports that no one here had in mind when the rules were made: by the comparison
 * alone, and after the confirming experiment. Bounds are those of honesty, with three sigma of the
 * binomial law: nothing is found where nothing is, what is no short side is not called one once the
 * experiment was done, and what depends on air speed is. Seeds were used for nothing else.
 */
@Tag("long")
class StrangePortsTest {

  private static final Set<Kind> LOST = EnumSet.of(Kind.LIKELY_SHORT_SIDE, Kind.LOSES_AT_HIGH_LIFT);

  /**
   * What was said in a number of jobs.
   *
   * @param likely short side, by the comparison alone
   * @param lost lost at high lift, named by either kind
   * @param likelyConfirmed short side, after the experiment
   * @param falls the experiment said so
   * @param doesNot the experiment said that nothing falls
   * @param hysteresis closing or falling pressure was seen to flow less
   * @param unsteadyBefore lifts of the port as it was that were called switching or rougher
   */
  private record Said(
      int jobs,
      int likely,
      int lost,
      int likelyConfirmed,
      int falls,
      int doesNot,
      int hysteresis,
      int unsteadyBefore) {

    boolean atMost(int count, double p) {
      return count <= p * jobs + 3 * Math.sqrt(p * (1 - p) * jobs) + 0.5;
    }

    boolean atLeast(int count, double p) {
      return count >= p * jobs - 3 * Math.sqrt(p * (1 - p) * jobs) - 0.5;
    }
  }

  @Test
  void whatIsSaidOfPortsOfAnotherKind() {
    for (Truth truth : Truth.values()) {
      honest(truth, said(2, 9100, truth));
    }
  }

  @Test
  @Tag("bench")
  void tables() {
    int jobs = Integer.getInteger("meniscus.jobs", 50);
    for (Truth truth : Truth.values()) {
      Said said = said(jobs, 9200, truth);
      System.out.printf(Locale.ROOT, "%s: %s%n", truth, said);
      honest(truth, said);
    }
  }

  /**
   * A port's bursts hide the blower's slow wander from half a minute's evidence, but the wander is
   * there all the same, and the calm record knows it. Without it 66 to 91 of 100 held (seed 4242).
   */
  @Test
  void roughAirStillHasTheBenchsWanderBeneathIt() {
    assertHolds(0.3, 40, 4243);
  }

  @Test
  @Tag("bench")
  void intervalsOfRougherAndRougherAir() {
    for (double rough : new double[] {0.3, 1, 3}) {
      assertHolds(rough, Integer.getInteger("meniscus.trials", 200), 9201);
    }
  }

  private static void assertHolds(double rough, int readings, long seed) {
    double[] sum = {0};
    int held = StrangePorts.held(readings, rough, seed, half -> sum[0] += half);
    String told =
        String.format(
            Locale.ROOT,
            "bursts times %.1f, seed %d: %d of %d hold, ± %.3f %%",
            rough,
            seed,
            held,
            readings,
            100 * sum[0] / readings);
    System.out.println(told);
    // 95 % are claimed; three sigma of the binomial law below 92 %.
    double least = 0.92 * readings - 3 * Math.sqrt(0.92 * 0.08 * readings);
    assertTrue(held >= least, told);
  }

  private static void honest(Truth truth, Said said) {
    String told = truth + ": " + said;
    switch (truth) {
      case NOTHING ->
          assertTrue(said.atMost(said.likely, 0.01) && said.atMost(said.lost, 0.05), told);
      // Geometry alone, at every speed: nothing but the loss can be seen of it.
      case VENA_CONTRACTA ->
          assertTrue(said.atLeast(said.lost, 0.9) && said.atMost(said.falls, 0.02), told);
      case HYSTERESIS, GROWING_BURSTS ->
          assertTrue(said.atLeast(said.lost, 0.9) && said.atMost(said.doesNot, 0.05), told);
      case ROUGH_CHOKE -> assertTrue(said.atMost(said.likelyConfirmed, 0.05), told);
      default -> throw new AssertionError(told);
    }
  }

  private static Said said(int jobs, long seed, Truth truth) {
    int[] counts = new int[7];
    List<Told> all =
        IntStream.range(0, jobs)
            .mapToObj(
                job ->
                    new StrangePorts(seed * 1_000_003 + 31L * truth.ordinal() + job * 7919L, truth)
                        .told(StrangePortsTest::suspected))
            .toList();
    for (Told told : all) {
      counts[0] += has(told.plain(), EnumSet.of(Kind.LIKELY_SHORT_SIDE));
      counts[1] += has(told.plain(), LOST);
      told.confirmed()
          .ifPresent(
              confirmed -> {
                counts[2] += has(confirmed, EnumSet.of(Kind.LIKELY_SHORT_SIDE));
                List<PressureSweep> sweeps = PressureSweep.in(told.after(), List.of(told.before()));
                PressureSweep last = sweeps.get(sweeps.size() - 1);
                counts[3] += last.told().orElse(false) ? 1 : 0;
                counts[4] += last.told().map(falls -> !falls).orElse(false) ? 1 : 0;
                counts[5] +=
                    last.hysteresisPa().isEmpty()
                        ? has(told.plain(), EnumSet.of(Kind.SWEEP_DIFFERENCE))
                        : 1;
              });
      counts[6] +=
          (int)
              told.before().points().stream().filter(p -> p.verdict() == Verdict.SWITCHING).count();
    }
    Said said =
        new Said(jobs, counts[0], counts[1], counts[2], counts[3], counts[4], counts[5], counts[6]);
    System.out.println(truth + ", seed " + seed + ": " + said);
    return said;
  }

  /** The highest lift at which flow is lost and the port rules it. */
  private static Optional<Double> suspected(Comparison plain) {
    return plain.findings().stream()
        .filter(finding -> LOST.contains(finding.kind()))
        .map(Finding::liftsM)
        .flatMap(List::stream)
        .max(Double::compare);
  }

  private static int has(Comparison c, Set<Kind> kinds) {
    return c.findings().stream().anyMatch(f -> kinds.contains(f.kind())) ? 1 : 0;
  }
}
