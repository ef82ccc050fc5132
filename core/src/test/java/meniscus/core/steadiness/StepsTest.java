package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Random;
import org.junit.jupiter.api.Test;

class StepsTest {

  private static double[] counted(double deviation, double step) {
    Random random = new Random(81);
    double[] x = new double[600];
    for (int i = 0; i < x.length; i++) {
      double value = 7 + deviation * random.nextGaussian();
      x[i] = step > 0 ? step * Math.rint(value / step) : value;
    }
    return x;
  }

  @Test
  void theStepShowsWhereReadingsAreFewStepsWide() {
    assertEquals(0.1, Steps.of(counted(0.03, 0.1)), 1e-9);
    assertEquals(0.1, Steps.of(counted(0.1, 0.1)), 1e-9);
    assertEquals(0.1, Steps.of(counted(0.5, 0.1)), 1e-9);
  }

  @Test
  void readingsWithoutStepsHaveNone() {
    assertEquals(0, Steps.of(counted(0.1, 0)));
    assertEquals(0, Steps.of(new double[] {7, 7, 7, Double.NaN, 7}));
  }
}
