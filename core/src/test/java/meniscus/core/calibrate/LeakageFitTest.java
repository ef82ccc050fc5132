package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import meniscus.core.bench.Plenum;
import meniscus.core.budget.SmallBench;
import meniscus.core.flow.Direction;
import org.junit.jupiter.api.Test;

class LeakageFitTest {

  private static final double CFM = 0.3048 * 0.3048 * 0.3048 / 60;
  private static final double AT = SmallBench.TEST_PRESSURE;

  private static LeakageFit.Outcome fit(List<LeakReading> readings) {
    return LeakageFit.fit(Direction.SUCTION, "bench blanked", readings, AT, CFM, SmallBench.AT);
  }

  private static LeakageFit.Measured measured(LeakageFit.Outcome outcome) {
    return outcome.fold(m -> m, large -> fail(large.reason()));
  }

  private static List<LeakReading> readings(double k, double n, double u, Random random) {
    List<LeakReading> readings = new ArrayList<>();
    for (double inches : new double[] {5, 10, 15, 20, 28}) {
      double p = inches * SmallBench.INCH_OF_WATER;
      readings.add(new LeakReading(p, k * Math.pow(p, n) + u * random.nextGaussian(), u, 0));
    }
    return readings;
  }

  @Test
  void theLawOfAPorousLeakIsFound() {
    double k = 0.5 * CFM / Math.pow(AT, 0.8);
    LeakageFit.Measured found = measured(fit(readings(k, 0.8, 1e-9, new Random(1))));
    assertTrue(found.seen());
    assertEquals(0.8, found.leakage().exponent(), 0.011);
    assertEquals(0.5 * CFM, found.leakage().flowM3PerS(AT), 0.002 * CFM);
  }

  @Test
  void theExponentIsHeldBetweenOneHalfAndOne() {
    double steep = 0.5 * CFM / Math.pow(AT, 1.6);
    assertEquals(1, measured(fit(readings(steep, 1.6, 1e-7, new Random(2)))).leakage().exponent());
    double flat = 0.5 * CFM / Math.pow(AT, 0.2);
    assertEquals(0.5, measured(fit(readings(flat, 0.2, 1e-7, new Random(3)))).leakage().exponent());
  }

  @Test
  void tooSmallToSeeIsALimitAndNotZero() {
    LeakageFit.Measured found = measured(fit(readings(0, 0.65, 2e-5, new Random(4))));
    assertFalse(found.seen());
    assertEquals(0, found.leakage().coefficient());
    assertTrue(found.leakage().limitM3PerS() > 1e-5);
    assertTrue(found.leakage().limitM3PerS() < 1e-4);
  }

  @Test
  void aLeakAboveTheLimitIsRefusedWithItsSize() {
    double k = 2 * CFM / Math.pow(AT, 0.6);
    String reason =
        fit(readings(k, 0.6, 1e-6, new Random(5)))
            .fold(m -> fail("accepted " + m), LeakageFit.TooLarge::reason);
    assertTrue(reason.startsWith("bench blanked leaks 2.0"), reason);
    assertTrue(reason.contains("limit of 1.00 cfm"), reason);
  }

  /** Coverage of the stated uncertainty at the test pressure, over seeds. */
  @Test
  void theStatedUncertaintyCoversTheLeak() {
    int covered = 0;
    int runs = 400;
    for (int seed = 0; seed < runs; seed++) {
      Random random = new Random(seed);
      double n = 0.5 + 0.5 * random.nextDouble();
      double truth = (0.3 + 0.6 * random.nextDouble()) * CFM;
      LeakageFit.Measured found = measured(fit(readings(truth / Math.pow(AT, n), n, 2e-5, random)));
      double flow = found.leakage().flowM3PerS(AT);
      covered += Math.abs(flow - truth) <= 2 * found.leakage().standardUncertainty() * flow ? 1 : 0;
    }
    assertTrue(covered >= 0.93 * runs, covered + " of " + runs + ", seeds 0 to " + (runs - 1));
  }

  /** A flow element 3 % off is 3 % off at each test pressure. */
  @Test
  void whatReadingsHaveInCommonDoesNotShrinkWithTheirNumber() {
    int covered = 0;
    int runs = 400;
    for (int seed = 0; seed < runs; seed++) {
      Random random = new Random(1000 + seed);
      double truth = (0.3 + 0.5 * random.nextDouble()) * CFM;
      double off = 1 + 0.03 * random.nextGaussian();
      List<LeakReading> readings = new ArrayList<>();
      for (double inches = 5; inches <= 28; inches += 1) {
        double p = inches * SmallBench.INCH_OF_WATER;
        double q = truth * Math.pow(p / AT, 0.6);
        double own = 2e-6;
        double common = 0.03 * q;
        readings.add(
            new LeakReading(
                p, q * off + own * random.nextGaussian(), Math.hypot(own, common), common));
      }
      LeakageFit.Measured found = measured(fit(readings));
      double flow = found.leakage().flowM3PerS(AT);
      covered += Math.abs(flow - truth) <= 2 * found.leakage().standardUncertainty() * flow ? 1 : 0;
    }
    assertTrue(covered >= 0.93 * runs, covered + " of " + runs + ", seeds 1000 to 1399");
  }

  @Test
  void aPressureThatRisesIsNoFall() {
    double[] seconds = new double[100];
    double[] pressures = new double[100];
    for (int i = 0; i < 100; i++) {
      seconds[i] = i;
      pressures[i] = 5000 + 10 * i;
    }
    IllegalArgumentException e =
        assertThrows(
            IllegalArgumentException.class,
            () ->
                PressureDecay.readings(
                    seconds, pressures, new Plenum(0.3, 0.01), 99_000, Direction.SUCTION, 0));
    assertTrue(e.getMessage().contains("is the blower's valve shut"), e.getMessage());
  }

  /** The fall of a closed plenum's pressure, integrated in small steps with a polytrope. */
  @Test
  void theLeakIsFoundFromTheFallOfPressure() {
    double volume = 0.3;
    double n = 0.7;
    double k = 0.4 * CFM / Math.pow(AT, n);
    double room = 99_000;
    double polytrope = 1.2;
    int count = 3000;
    double[] seconds = new double[count];
    double[] pressures = new double[count];
    Random random = new Random(6);
    double p = AT;
    for (int i = 0; i < count; i++) {
      seconds[i] = i * 0.02;
      pressures[i] = p + random.nextGaussian();
      for (int step = 0; step < 20; step++) {
        p -= 0.001 * polytrope * (room - p) / volume * k * Math.pow(p, n);
      }
    }
    List<LeakReading> readings =
        PressureDecay.readings(
            seconds, pressures, new Plenum(volume, 0.01), room, Direction.SUCTION, 0);
    LeakageFit.Measured found = measured(fit(readings));
    double flow = found.leakage().flowM3PerS(AT);
    assertEquals(0.4 * CFM, flow, 2 * found.leakage().standardUncertainty() * flow);
    assertEquals(0.4, flow / CFM, 0.05);
  }

  /**
   * The same fall, read by a person whose hand is off by a normal 0.2 s from a column divided in
   * 0.1 inH2O: each slope is as good as it says.
   */
  @Test
  void marksThatAColumnPassesTellTheLeakAsWellAsTheySay() {
    double volume = 0.3;
    double n = 0.7;
    double k = 0.4 * CFM / Math.pow(AT, n);
    double room = 99_000;
    double polytrope = 1.2;
    double mark = 1.5 * SmallBench.INCH_OF_WATER;
    double step = 0.1 * SmallBench.INCH_OF_WATER;
    Random random = new Random(7);
    int within = 0;
    int all = 0;
    for (int run = 0; run < 200; run++) {
      List<double[]> marks = new ArrayList<>();
      double p = AT;
      double next = AT - mark;
      for (double t = 0; p > AT / 3; t += 0.001) {
        if (p <= next) {
          double read = step * (Math.round(p / step) + random.nextDouble() - 0.5);
          marks.add(new double[] {t + 0.2 * random.nextGaussian(), read});
          next -= mark;
        }
        p -= 0.001 * polytrope * (room - p) / volume * k * Math.pow(p, n);
      }
      for (LeakReading reading :
          PressureDecay.readings(
              marks.stream().mapToDouble(each -> each[0]).toArray(),
              marks.stream().mapToDouble(each -> each[1]).toArray(),
              new Plenum(volume, 0.01),
              room,
              Direction.SUCTION,
              step / Math.sqrt(12))) {
        double truth = k * Math.pow(reading.testPressurePa(), n);
        double own = Math.sqrt(reading.ownVariance());
        within += Math.abs(reading.flowM3PerS() - truth) <= 2 * own ? 1 : 0;
        all++;
      }
    }
    assertTrue(all >= 800, "slopes: " + all);
    assertTrue(within >= 0.94 * all && within < all, within + " of " + all + ", seed 7");
  }

  @Test
  void tooFewMarksTellNothing() {
    double[] two = {0, 10};
    IllegalArgumentException e =
        assertThrows(
            IllegalArgumentException.class,
            () ->
                PressureDecay.readings(
                    two,
                    new double[] {7000, 6000},
                    new Plenum(0.3, 0.01),
                    99_000,
                    Direction.SUCTION,
                    7));
    assertTrue(e.getMessage().contains("2 readings above a tenth"), e.getMessage());
    assertTrue(e.getMessage().contains("6 are needed"), e.getMessage());
  }
}
