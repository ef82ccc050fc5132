package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assertions.fail;

import java.util.Optional;
import java.util.Random;
import java.util.function.IntToDoubleFunction;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Source;
import meniscus.core.bench.Zero;
import meniscus.core.budget.SmallBench;
import org.junit.jupiter.api.Test;

class ZeroTakeTest {

  private static final Source.Measured GAUGE = SmallBench.DROP;

  private static ZeroTake.Outcome take(IntToDoubleFunction reading, Optional<Zero> previous) {
    double[] readings = new double[400];
    for (int i = 0; i < readings.length; i++) {
      readings[i] = reading.applyAsDouble(i);
    }
    return ZeroTake.take(GAUGE, readings, 10, previous, SmallBench.AT);
  }

  private static ZeroTake.Taken taken(ZeroTake.Outcome outcome) {
    return outcome.fold(t -> t, refused -> fail(refused.reason()));
  }

  private static String refusal(ZeroTake.Outcome outcome) {
    return outcome.fold(t -> fail("taken: " + t), ZeroTake.Refused::reason);
  }

  @Test
  void aRestingGaugeGivesItsOffsetAndNoise() {
    Random random = new Random(1);
    ZeroTake.Taken taken = taken(take(i -> 1.7 + 0.8 * random.nextGaussian(), Optional.empty()));
    assertEquals(1.7, taken.zero().offsetSi(), 0.15);
    assertEquals(0.8, taken.zero().noiseSi(), 0.1);
    assertTrue(taken.zero().standardUncertaintySi() >= 0.8 / 20);
  }

  @Test
  void aMovingReadingIsRefused() {
    Random random = new Random(2);
    String reason =
        refusal(take(i -> 1.7 + 0.01 * i + 0.2 * random.nextGaussian(), Optional.empty()));
    assertTrue(reason.startsWith("gauges.drop moves by "), reason);
    assertTrue(reason.contains("blower still running down"), reason);
  }

  @Test
  void noiseAloneIsSeldomTakenForMovement() {
    int refused = 0;
    for (int seed = 0; seed < 400; seed++) {
      Random random = new Random(seed);
      refused +=
          take(i -> 5 * random.nextGaussian(), Optional.empty()).<Integer>fold(t -> 0, r -> 1);
    }
    assertTrue(refused <= 12, refused + " of 400");
  }

  @Test
  void anOffsetOfATwentiethOfTheRangeIsNoZero() {
    String reason = refusal(take(i -> 700 + (i % 2) * 0.1, Optional.empty()));
    assertTrue(reason.contains("is the blower off"), reason);
  }

  @Test
  void driftSinceTheLastZeroWidensTheUncertainty() {
    Random random = new Random(3);
    Zero previous = new Zero(-10, 0.1, 0.1, SmallBench.AT);
    ZeroTake.Taken taken = taken(take(i -> 2 + 0.1 * random.nextGaussian(), Optional.of(previous)));
    assertEquals(12, taken.sincePreviousSi().orElseThrow(), 0.1);
    assertEquals(12 / Math.sqrt(3), taken.zero().standardUncertaintySi(), 0.1);
  }

  @Test
  void tooFewReadingsAreRefused() {
    ZeroTake.Outcome outcome =
        ZeroTake.take(GAUGE, new double[3], 10, Optional.empty(), SmallBench.AT);
    assertTrue(refusal(outcome).startsWith("gauges.drop gave 3 readings"));
  }

  /** A column divided in 12 Pa. */
  private static final Source.Measured COLUMN =
      new Source.Measured("columns", "drop", -100, 9000, new Accuracy(0, 0, 12), 0, false);

  /** JCGM 100:2008, 4.3.7 (rectangular) and JCGM 101:2008, 6.4.6 (arc sine), by hand. */
  @Test
  void aColumnIsZeroedByOneLookAsGoodAsItsGraduationAndItsSwing() {
    Zero still = taken(ZeroTake.byEye(COLUMN, 0, 0, Optional.empty(), SmallBench.AT)).zero();
    assertEquals(0, still.offsetSi());
    assertEquals(12 / Math.sqrt(12), still.standardUncertaintySi(), 1e-12);
    Zero swinging = taken(ZeroTake.byEye(COLUMN, 20, 6, Optional.empty(), SmallBench.AT)).zero();
    assertEquals(20, swinging.offsetSi());
    assertEquals(Math.sqrt(12 + 18), swinging.standardUncertaintySi(), 1e-12);
  }

  @Test
  void aColumnWhoseZeroMovedMayMoveSoAgain() {
    ZeroTake.Taken taken =
        taken(
            ZeroTake.byEye(
                COLUMN, 30, 0, Optional.of(new Zero(0, 1, 0, SmallBench.AT)), SmallBench.AT));
    assertEquals(30, taken.sincePreviousSi().orElseThrow());
    assertEquals(Math.sqrt(1 * 12 + 300), taken.zero().standardUncertaintySi(), 1e-12);
  }

  @Test
  void aColumnThatStandsFarFromNothingIsNotAtRest() {
    String reason = refusal(ZeroTake.byEye(COLUMN, 500, 0, Optional.empty(), SmallBench.AT));
    assertTrue(reason.contains("columns.drop shows 500.00 Pa with nothing to read"), reason);
  }
}
