package meniscus.recorder.upkeep;

import static org.junit.jupiter.api.Assertions.assertDoesNotThrow;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.function.IntToDoubleFunction;
import java.util.stream.IntStream;
import meniscus.core.calibrate.Plate;
import meniscus.core.refusal.Refusal;
import meniscus.core.steadiness.CalmRun;
import org.junit.jupiter.api.Test;

/** A calm run from which nothing can be learned, or from no plate at all, is not stored. */
class CalmTakeTest {

  private static final Plate PLATE = Plate.byEquation("44", 0.044, 1e-5);

  private final Random random = new Random(1602);

  private static CalmRun run(double hertz, double seconds, IntToDoubleFunction value) {
    int count = (int) (hertz * seconds);
    return CalmRun.of(
        "44",
        IntStream.range(0, count).mapToDouble(i -> i / hertz).toArray(),
        IntStream.range(0, count).mapToDouble(value).toArray());
  }

  private static String refused(CalmRun run) {
    return assertThrows(Refusal.class, () -> CalmTake.refuseUseless(PLATE, run)).getMessage();
  }

  @Test
  void aRoughPlateIsOneAllTheSame() {
    CalmRun rough = run(50, 20, i -> 9e-4 * (1 + 0.1 * random.nextGaussian()));
    assertDoesNotThrow(() -> CalmTake.refuseUseless(PLATE, rough), "seed 1602");
  }

  /** By hand: nine readings of 1 and one of 4.5 have a deviation of 1.05 about 1.35. */
  @Test
  void aFlowThatNoPlateGivesIsRefusedWithItsSize() {
    String why = refused(run(50, 20, i -> i % 10 == 0 ? 4.5 : 1));
    assertTrue(why.contains("plate 44 moves by 78 % (one standard deviation)"), why);
    assertTrue(why.contains("which no plate gives; it is not stored"), why);
    assertTrue(why.contains("hoses on and dry"), "what to look at: " + why);
  }

  @Test
  void aFlowThatIsNothingOrComesTheOtherWayIsNoPlatesEither() {
    for (CalmRun run :
        new CalmRun[] {
          run(50, 20, i -> 0), run(50, 20, i -> -9e-4 * (1 + 0.01 * random.nextGaussian()))
        }) {
      String why = refused(run);
      assertTrue(why.contains("plate 44 is nothing, or comes the other way"), why);
      assertFalse(why.contains("NaN"), why);
    }
  }

  /** Forty blocks and one, a block of a slow gauge being a reading: 41 s, and room for a loss. */
  @Test
  void aRunTooShortForASlowGaugeIsRefusedWithTheLengthThatWillDo() {
    String why = refused(run(1, 20, i -> 9e-4 + 1e-6 * (i % 5)));
    assertTrue(why.contains("plate 44 holds 20 readings in 20 s, too few"), why);
    assertTrue(why.contains("it is not stored. These gauges need runs of 50 s"), why);
    assertTrue(why.contains("longer, or give --seconds"), why);
    CalmRun longer = run(1, 50, i -> 9e-4 + 1e-6 * (i % 5));
    assertDoesNotThrow(() -> CalmTake.refuseUseless(PLATE, longer));
    assertEquals(OptionalDouble.of(110), new CalmTake(List.of(longer), 0).properSeconds());
  }

  @Test
  void oneReadingTellsNoRhythmAndNoLength() {
    String why = refused(run(1, 1, i -> 9e-4));
    assertTrue(why.contains("These gauges need runs of minutes"), why);
    assertFalse(why.contains("NaN"), why);
  }
}
