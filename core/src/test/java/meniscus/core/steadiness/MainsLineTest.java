package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class MainsLineTest {

  private static final int SECONDS = 20;
  private static final double NOISE = 0.015;

  /** White noise with a wave of 100 Hz in it, read so often. */
  private static double[] readings(double hertz, double ripple, Random random) {
    double[] x = new double[(int) (SECONDS * hertz)];
    double phase = 2 * Math.PI * random.nextDouble();
    for (int i = 0; i < x.length; i++) {
      x[i] =
          NOISE * random.nextGaussian() + ripple * Math.sin(phase + 2 * Math.PI * 100 * i / hertz);
    }
    return x;
  }

  @ParameterizedTest
  @CsvSource({"47, 0.02, 6", "9.7, 0.02, 3", "130, 0.02, 30", "4.9, 0.05, 2", "23, 0.05, 8"})
  void rippleIsFoundWhereItIsFoldedTo(double hertz, double ripple, double alias) {
    Random random = new Random(71);
    int found = 0;
    for (int i = 0; i < 20; i++) {
      var line = new MainsLine(readings(hertz, ripple, random), 1 / hertz).find(Double.NaN);
      if (line.isPresent()) {
        found++;
        assertEquals(alias, line.get().hertz(), 0.1);
        assertEquals(ripple, line.get().amplitude(), 0.25 * ripple + 0.005);
      }
    }
    assertTrue(found >= 17, found + " of 20 found, seed 71");
  }

  @Test
  void thereIsNoneInNoise() {
    Random random = new Random(72);
    int found = 0;
    for (int i = 0; i < 200; i++) {
      double hertz = new double[] {47, 9.7, 130, 23}[i % 4];
      found +=
          new MainsLine(readings(hertz, 0, random), 1 / hertz).find(Double.NaN).isPresent() ? 1 : 0;
    }
    // Over 2 of 200 has chance 0.2 % when one of 500 is false.
    assertTrue(found <= 2, found + " of 200, seed 72");
  }

  /** A surge of the air is a narrow line too, but its phase wanders. */
  @Test
  void aSurgeOfTheAirIsNoRipple() {
    Random random = new Random(73);
    int found = 0;
    for (int run = 0; run < 60; run++) {
      double[] x = new double[47 * SECONDS];
      double decay = Math.exp(-1 / 47.0 / 0.5);
      double turn = 2 * Math.PI * 6 / 47;
      for (int i = 2; i < x.length; i++) {
        x[i] =
            2 * decay * Math.cos(turn) * x[i - 1]
                - decay * decay * x[i - 2]
                + NOISE * random.nextGaussian();
      }
      found += new MainsLine(x, 1 / 47.0).find(Double.NaN).isPresent() ? 1 : 0;
    }
    assertTrue(found <= 9, found + " of 60, seed 73"); // 5 % expected
  }

  @Test
  void theAliasIsTheFoldedFrequency() {
    assertEquals(3, MainsLine.alias(100, 9.7), 1e-9);
    assertEquals(0, MainsLine.alias(100, 50), 1e-9);
    assertEquals(50, MainsLine.alias(50, 200), 1e-9);
  }
}
