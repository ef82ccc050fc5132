package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.Arrays;
import java.util.Random;
import meniscus.core.refusal.Refusal;
import org.junit.jupiter.api.Test;

/**
 * ISO/TS 28037:2010, worked examples of clauses 6 and 7 and appendix E (pages 13, 15 and 21),
 * values as quoted in the documentation of the GTC library; NIST's certified fit Norris, as quoted
 * in the test suites of GSL and Apache Commons Math; the thermometer of JCGM 100:2008 (GUM) H.3.
 */
class StraightLineTest {

  private static final double[] X = {1, 2, 3, 4, 5, 6};

  private static double[] all(int count, double value) {
    double[] all = new double[count];
    Arrays.fill(all, value);
    return all;
  }

  private static StraightLine exactX(double[] x, double[] y, double... uy) {
    return StraightLine.of(x, new double[x.length], y, uy);
  }

  /** Where the uncertainty of y is known but for a factor, the residuals tell it (appendix E). */
  private static double residualScale(StraightLine line) {
    return Math.sqrt(line.chiSquare() / (line.residuals().length - 2));
  }

  private static double valueU(StraightLine line, double x) {
    double variance =
        line.offsetU() * line.offsetU()
            + 2 * x * line.covariance()
            + x * x * line.slopeU() * line.slopeU();
    return Math.sqrt(variance);
  }

  @Test
  void equalUncertaintiesOfY() {
    StraightLine line = exactX(X, new double[] {3.3, 5.6, 7.1, 9.3, 10.7, 12.1}, all(6, 0.5));
    assertEquals(1.867, line.offset(), 0.0005);
    assertEquals(1.757, line.slope(), 0.0005);
    assertEquals(0.465, line.offsetU(), 0.0005);
    assertEquals(0.120, line.slopeU(), 0.0005);
    assertEquals(-0.050, line.covariance(), 0.0005);
    assertEquals(1.665, line.chiSquare(), 0.0005);
    assertEquals(8.01666666666667, line.offset() + 3.5 * line.slope(), 5e-14);
    assertEquals(0.406409531732455, Math.hypot(valueU(line, 3.5), 0.2 * line.slope()), 5e-15);
  }

  @Test
  void unequalUncertaintiesOfY() {
    StraightLine line =
        exactX(X, new double[] {3.2, 4.3, 7.6, 8.6, 11.7, 12.8}, 0.5, 0.5, 0.5, 1, 1, 1);
    assertEquals(0.885, line.offset(), 0.0005);
    assertEquals(2.057, line.slope(), 0.0005);
    assertEquals(0.530, line.offsetU(), 0.0005);
    assertEquals(0.178, line.slopeU(), 0.0005);
    assertEquals(-0.082, line.covariance(), 0.0005);
    assertEquals(4.131, line.chiSquare(), 0.0005);
  }

  /** Page 21. */
  @Test
  void uncertaintiesInBothAxes() {
    double[] x = {1.2, 1.9, 2.9, 4.0, 4.7, 5.9};
    double[] y = {3.4, 4.4, 7.2, 8.5, 10.8, 13.5};
    double[] uy = {0.2, 0.2, 0.2, 0.4, 0.4, 0.4};
    StraightLine line = StraightLine.of(x, all(6, 0.2), y, uy);
    assertEquals(0.5788, line.offset(), 0.00005);
    assertEquals(2.1597, line.slope(), 0.00005);
    assertEquals(0.4764, line.offsetU(), 0.00005);
    assertEquals(0.1355, line.slopeU(), 0.00005);
    assertEquals(-0.0577, line.covariance(), 0.00005);
    assertEquals(2.743, line.chiSquare(), 0.0005);
  }

  /** Appendix E, before the extra factor of 2. */
  @Test
  void uncertaintyFromTheResiduals() {
    StraightLine line =
        exactX(X, new double[] {3.014, 5.225, 7.004, 9.061, 11.201, 12.762}, all(6, 1));
    double scale = residualScale(line);
    assertEquals(1.172, line.offset(), 0.0005);
    assertEquals(1.964, line.slope(), 0.0005);
    assertEquals(0.159, scale * line.offsetU(), 0.0005);
    assertEquals(0.041, scale * line.slopeU(), 0.0005);
    assertEquals(-0.006, scale * scale * line.covariance(), 0.0005);
  }

  @Test
  void norris() {
    double[] y = {
      0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1,
      668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0,
      998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2
    };
    double[] x = {
      0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5,
      666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2,
      999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5
    };
    StraightLine line = exactX(x, y, all(36, 1));
    assertEquals(-0.262323073774029, line.offset(), 3e-10);
    assertEquals(1.00211681802045, line.slope(), 1e-9);
    assertEquals(0.000429796848199937, residualScale(line) * line.slopeU(), 4e-13);
    assertEquals(0.884796396144373, residualScale(line), 1e-9);
  }

  @Test
  void theGumsThermometer() {
    double[] readings = {
      21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511
    };
    double[] corrections = {
      -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160
    };
    double[] aboveTwenty = Arrays.stream(readings).map(t -> t - 20).toArray();
    StraightLine line = exactX(aboveTwenty, corrections, all(11, 1));
    double scale = residualScale(line);
    assertEquals(-0.1712, line.offset(), 0.00005);
    assertEquals(0.00218, line.slope(), 0.000005);
    assertEquals(0.0029, scale * line.offsetU(), 0.00005);
    assertEquals(0.00067, scale * line.slopeU(), 0.000005);
    assertEquals(-0.930, line.covariance() / (line.offsetU() * line.slopeU()), 0.0005);
    assertEquals(0.0035, scale, 0.00005);
    assertEquals(-0.1494, line.offset() + 10 * line.slope(), 0.00005);
    assertEquals(0.0041, scale * valueU(line, 10), 0.00005);
  }

  @Test
  void equalErrorsInXMoveTheLineSideways() {
    double[] x = {1, 2, 3, 4, 5};
    StraightLine line =
        StraightLine.of(x, all(5, 0.1), new double[] {2, 4, 6, 8, 10}, all(5, 1e-3));
    assertEquals(2, line.slope(), 1e-12);
    // Effective uncertainty of one pair is slope × u(x): 0.2, so 0.2/√5 at the middle.
    assertEquals(0.2 / Math.sqrt(5), valueU(line, 3), 1e-5);
  }

  /** Noise in both axes: the stated uncertainty covers the truth as often as it says. */
  @Test
  void theStatedUncertaintyCovers() {
    long seed = 20261125;
    Random random = new Random(seed);
    int runs = 2000;
    int covered = 0;
    for (int run = 0; run < runs; run++) {
      double[] x = new double[12];
      double[] y = new double[12];
      for (int i = 0; i < x.length; i++) {
        x[i] = 1 + i + 0.02 * random.nextGaussian();
        y[i] = 3 + 0.8 * (1 + i) + 0.05 * random.nextGaussian();
      }
      StraightLine line = StraightLine.of(x, all(12, 0.02), y, all(12, 0.05));
      covered += Math.abs(line.slope() - 0.8) <= 1.96 * line.slopeU() ? 1 : 0;
    }
    assertEquals(0.95, covered / (double) runs, 0.015, "seed " + seed);
  }

  @Test
  void pointsThatTellNoLineAreRefused() {
    Refusal refused = assertThrows(Refusal.class, () -> exactX(all(3, 3), all(3, 1), all(3, 1)));
    assertEquals("the points lie too close together in x to tell a line", refused.getMessage());
  }
}
