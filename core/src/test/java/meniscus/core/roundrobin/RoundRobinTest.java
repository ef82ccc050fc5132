package meniscus.core.roundrobin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import meniscus.core.decide.Estimate;
import meniscus.core.refusal.Refusal;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;
import org.junit.jupiter.api.Test;

/**
 * Reference numbers are those of metafor 3.8-1 for R (Viechtbauer, J. Stat. Softw. 36 (2010) 3), by
 * the lines that stand beside them.
 */
class RoundRobinTest {

  private static final double CLAIM = 0.05;

  /**
   * {@code dat <- escalc(measure="RR", ai=tpos, bi=tneg, ci=cpos, di=cneg, data=dat.bcg)}: log
   * relative risks and their variances in 13 trials (Colditz et al., JAMA 271 (1994) 698, table 1).
   */
  private static final double[][] TRIALS = {
    {-0.8893113339202054, 0.32558476500396133},
    {-1.5853886572014306, 0.19458112139814385},
    {-1.3480731482996933, 0.41536796536796539},
    {-1.4415511900213054, 0.02001003190224757},
    {-0.2175473222112956, 0.05121017216963086},
    {-0.7861155858188640, 0.00690561845590876},
    {-1.6208982235983918, 0.22301724757231517},
    {0.0119523335238405, 0.00396157929781773},
    {-0.4694176487381494, 0.05643421046324897},
    {-1.3713448034727844, 0.07302479361302891},
    {-0.3393588283383906, 0.01241221397155972},
    {0.4459134005713787, 0.53250584520015276},
    {-0.0173139482168798, 0.07140465968398629}
  };

  private static final Budget NONE = new Budget(List.of());

  private static Reading reading(
      String bench, double at, double value, Budget shared, double variance) {
    return new Reading(
        bench, at, value, shared, new Estimate.Part(variance, Double.POSITIVE_INFINITY));
  }

  private static Contribution error(String id, double u) {
    return new Contribution(id, Kind.SYSTEMATIC, u, Double.POSITIVE_INFINITY, 1, id);
  }

  @Test
  void benchesThatShareNothingAreTakenAsMetaforTakesTrials() {
    List<Reading> readings = new ArrayList<>();
    for (int i = 0; i < TRIALS.length; i++) {
      readings.add(reading("bench " + i, i, TRIALS[i][0], NONE, TRIALS[i][1]));
    }
    RoundRobin round = RoundRobin.of(readings, 0); // nobody may be left out, as there
    // r <- rma(yi, vi, data=dat, method="DL"); cat(r$beta, r$se, r$tau2, r$QE, r$QEp)
    assertEquals(-0.714117222073227, round.reference().value(), 1e-12);
    assertEquals(0.178742089535403, round.reference().standardUncertainty(), 1e-12);
    assertEquals(0.308760262862376, Math.pow(round.left().standardDeviation(), 2), 1e-12);
    assertEquals(152.233008082373, round.left().q(), 1e-9);
    assertEquals(1.99676459084597e-26, round.left().chance(), 1e-15);
    assertTrue(round.drift().isEmpty());
  }

  @Test
  void benchesThatShareErrorsAreTakenAsMetaforTakesCorrelatedTrials() {
    // y <- c(10.02, 10.03, 9.99, 10.04); V <- diag(c(.02, .03, .025, .02)^2)
    // V[1,2] <- V[2,1] <- .015^2; V[3,4] <- V[4,3] <- .01^2
    // f <- rma.mv(y, V, method="FE"); cat(f$beta, f$se, f$QE, f$QEp)
    double[] y = {10.02, 10.03, 9.99, 10.04};
    double[] u = {0.02, 0.03, 0.025, 0.02};
    double[] common = {0.015, 0.015, 0.01, 0.01};
    List<Reading> readings = new ArrayList<>();
    for (int i = 0; i < y.length; i++) {
      Budget shared = new Budget(List.of(error("certificate " + i / 2, common[i])));
      readings.add(reading("bench " + i, i, y[i], shared, u[i] * u[i] - common[i] * common[i]));
    }
    RoundRobin round = RoundRobin.of(readings, CLAIM);
    assertEquals(3.14803851519163, round.left().q(), 1e-9);
    assertEquals(0.369358909177687, round.left().chance(), 1e-9);
    // Q is above 3, so that something is left: (Q - 3) / tr P; without it R's mean.
    assertTrue(round.left().standardDeviation() > 0);
    assertEquals(10.0219250791058, round.reference().value(), 1e-3);
    assertTrue(round.reference().standardUncertainty() > 0.0127154295089157);
  }

  @Test
  void aSteadyChangeOfTheThingIsTakenOutByThePilotsTwoReadings() {
    List<Reading> readings =
        List.of(
            reading("pilot", 0, 100.0, NONE, 0.01),
            reading("north", 1, 100.5, NONE, 0.01),
            reading("south", 3, 101.5, NONE, 0.01),
            reading("pilot", 4, 102.0, NONE, 0.01));
    RoundRobin round = RoundRobin.of(readings, CLAIM);
    Estimate drift = round.drift().orElseThrow();
    assertEquals(2.0, drift.value(), 1e-9);
    assertEquals(Math.sqrt(0.02), drift.standardUncertainty(), 1e-9);
    round.benches().forEach(one -> assertEquals(0, one.difference().value(), 1e-9, one.bench()));
    // Read at a quarter of the way: u² = 0.01 (1 + (3/4)² + (1/4)²) beside the pilot's first.
    assertEquals(100.0, round.benches().get(1).value(), 1e-9);
    // The pilot's two readings one after the other say nothing of a change.
    List<Reading> twice = new ArrayList<>(readings.subList(0, 3));
    twice.add(reading("pilot", 0.5, 100.2, NONE, 0.01));
    assertTrue(RoundRobin.of(twice, CLAIM).drift().isEmpty());
  }

  @Test
  void aBenchThatIsWrongStandsOutAndAloneHasNobodyToStandOutFrom() {
    List<Reading> readings = new ArrayList<>();
    for (int i = 0; i < 5; i++) {
      readings.add(reading("bench " + i, i, i == 3 ? 106 : 100 + 0.2 * i, NONE, 1));
    }
    for (RoundRobin.Equivalence one : RoundRobin.of(readings, CLAIM).benches()) {
      assertEquals(one.bench().equals("bench 3"), one.standsOut(), one.bench());
    }
    assertThrows(Refusal.class, () -> RoundRobin.of(readings.subList(0, 1), CLAIM));
    // It does not draw the reference after it.
    assertEquals(100.35, RoundRobin.of(readings, CLAIM).reference().value(), 1e-9);
    // Of two that differ nobody can say which is wrong; nor of a crowd.
    double[] crowd = {94, 97, 100, 103, 106};
    List<Reading> all = new ArrayList<>();
    for (int i = 0; i < crowd.length; i++) {
      all.add(reading("bench " + i, i, crowd[i], NONE, 0.5));
    }
    for (List<Reading> some : List.of(all, all.subList(0, 2))) {
      RoundRobin round = RoundRobin.of(some, CLAIM);
      assertTrue(round.benches().stream().noneMatch(RoundRobin.Equivalence::standsOut));
      assertTrue(round.left().standardDeviation() > 1 && round.left().chance() < CLAIM);
    }
  }

  // ------------------------------------------------------------------ whether intervals hold

  /** How often each interval held the truth [%]. */
  private record Held(double reference, double differences, double naive, double falseClaims) {}

  /**
   * Six benches on plates of two certificates: what the plates of one have in common is 1.5 times
   * as large as what a bench has of its own. The first bench reads again at the end, and the thing
   * changes by 3 in between.
   *
   * @param unsaid how far a bench is off beyond what it says, one standard deviation
   */
  private static Held rounds(int count, long seed, double unsaid) {
    Random random = new Random(seed);
    double common = 1.5;
    double held = 0;
    double differences = 0;
    double naive = 0;
    double claims = 0;
    for (int round = 0; round < count; round++) {
      double[] certificates = {random.nextGaussian(), random.nextGaussian()};
      List<Reading> readings = new ArrayList<>();
      List<Reading> believed = new ArrayList<>();
      double pilot = 0;
      for (int i = 0; i < 7; i++) {
        int bench = i % 6;
        double own = 0.7 + 0.1 * bench;
        double systematic =
            bench == 0 && i > 0 ? pilot : Math.hypot(own, unsaid) * random.nextGaussian();
        pilot = bench == 0 ? systematic : pilot;
        int paper = bench % 2;
        double value =
            100
                + common * certificates[paper]
                + systematic
                + 0.3 * random.nextGaussian()
                + 3 * i / 6.0;
        Budget budget =
            new Budget(List.of(error("certificate " + paper, common), error("b" + bench, own)));
        readings.add(reading("bench " + bench, i, value, budget, 0.09));
        if (i < 6) {
          double all = common * common + own * own + 0.09;
          believed.add(reading("bench " + bench, i, value - 3 * i / 6.0, NONE, all));
        }
      }
      RoundRobin found = RoundRobin.of(readings, CLAIM);
      held += holds(found.reference(), 100);
      naive += holds(RoundRobin.of(believed, CLAIM).reference(), 100);
      for (RoundRobin.Equivalence one : found.benches()) {
        differences += holds(one.difference(), 0) / found.benches().size();
      }
      claims += found.benches().stream().anyMatch(RoundRobin.Equivalence::standsOut) ? 1 : 0;
    }
    return new Held(
        100 * held / count, 100 * differences / count, 100 * naive / count, 100 * claims / count);
  }

  private static double holds(Estimate found, double truth) {
    return Math.abs(found.value() - truth) <= found.u95() ? 1 : 0;
  }

  @Test
  void intervalsOfBenchesWithSharedPlatesHoldInTwoThousandRounds() {
    Held held = rounds(2000, 2302, 0);
    System.out.println("round robin, 2000 rounds, seed 2302: " + held);
    assertEquals(95, held.reference, 1, held.toString());
    assertEquals(95, held.differences, 1, held.toString());
    assertTrue(held.naive < 85, held.toString());
    assertTrue(held.falseClaims <= 6, held.toString());
  }

  /** Every bench is off by as much again as it says: what is left has to be learned from six. */
  @Test
  void theReferenceHoldsNearlyAsOftenWhereBenchesAreWorseThanTheySay() {
    Held held = rounds(2000, 2303, 1);
    System.out.println("round robin, benches worse than they say, seed 2303: " + held);
    assertEquals(95, held.reference, 3, held.toString());
  }
}
