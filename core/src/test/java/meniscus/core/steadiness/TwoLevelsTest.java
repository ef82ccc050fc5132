package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

class TwoLevelsTest {

  /**
   * Yearly flow of the Nile at Aswan, 1871 to 1970, 10⁸ m³. Cobb, Biometrika 65 (1978) 243-251,
   * table 1: "apparent changepoint near 1898". Data set Nile of the R project.
   */
  private static final double[] NILE = {
    1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180,
    799, 958, 1140, 1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833,
    701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768, 845,
    864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897, 822, 1010, 771, 676, 649,
    846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918, 986, 797, 923, 975, 815,
    1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740
  };

  private static final int YEARS_BEFORE = 28;

  @Test
  void theNileFellToALowerLevelAfter1898() {
    TwoLevels.Fit fit = TwoLevels.begun(NILE).finished();
    long highBefore =
        Arrays.stream(fit.upper()).limit(YEARS_BEFORE).filter(chance -> chance > 0.5).count();
    long lowAfter =
        Arrays.stream(fit.upper()).skip(YEARS_BEFORE).filter(chance -> chance < 0.5).count();
    assertTrue(highBefore >= YEARS_BEFORE - 2, highBefore + " of 28 years at the higher level");
    assertTrue(lowAfter >= 72 - 6, lowAfter + " of 72 years at the lower level");
    double before = Arrays.stream(NILE).limit(YEARS_BEFORE).average().orElseThrow();
    double after = Arrays.stream(NILE).skip(YEARS_BEFORE).average().orElseThrow();
    assertEquals(before, fit.high(), 0.03 * before);
    assertEquals(after, fit.low(), 0.03 * after);
  }

  @Test
  void twoLevelsAreToldFromOneLevelInNoiseOfAnyRhythm() {
    for (String kind : Signals.ALL) {
      double[] noise = Signals.noise(kind, 1000, 50, new Random(61));
      double[] jumping = noise.clone();
      for (int i = 0; i < jumping.length; i++) {
        jumping[i] += i / 60 % 2 == 0 ? 3 : -3;
      }
      assertFalse(clear(noise), "no jumps in " + kind);
      assertTrue(clear(jumping), "jumps in " + kind);
      assertFalse(clear(lagging(noise)), "no jumps in lagging " + kind);
      assertTrue(clear(lagging(jumping)), "jumps in lagging " + kind);
    }
  }

  private static boolean clear(double[] z) {
    return LaggedLevels.clear(z).isPresent();
  }

  /** As a gauge with a lag of 0.1 s shows it. */
  private static double[] lagging(double[] z) {
    double[] shown = z.clone();
    for (int i = 1; i < z.length; i++) {
      shown[i] = Math.exp(-0.2) * shown[i - 1] + (1 - Math.exp(-0.2)) * z[i];
    }
    return shown;
  }
}
