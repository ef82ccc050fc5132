package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import meniscus.core.quantity.Unit;
import org.junit.jupiter.api.Test;

class PressureScalingTest {

  private final double from = Unit.INCH_OF_WATER.toSi(10);
  private final double to = Unit.INCH_OF_WATER.toSi(28);

  /** 1.6320764895 by the mass function's ratio in an independent script. */
  @Test
  void aPortScalesAsANozzle() {
    assertEquals(
        1.6320764895267037, PressureScaling.NOZZLE.factor(from, to, 101_325, 1.4, 0), 1e-8);
    assertEquals(0.0253, PressureScaling.NOZZLE.plainRootError(from, to, 101_325, 1.4, 0), 1e-4);
  }

  /** Regression by hand: 1.6543. */
  @Test
  void regressionASharpPlateScalesWithItsExpansibility() {
    assertEquals(1.6543, PressureScaling.PLATE.factor(from, to, 101_325, 1.4, 0), 3e-4);
    assertEquals(0.011, PressureScaling.PLATE.plainRootError(from, to, 101_325, 1.4, 0), 1e-3);
  }

  @Test
  void thePlainRootIsRightForLittlePressuresOnly() {
    assertEquals(0, PressureScaling.ROOT.plainRootError(from, to, 101_325, 1.4, 0));
    assertEquals(0, PressureScaling.NOZZLE.plainRootError(1, 2, 101_325, 1.4, 0), 1e-5);
  }

  @Test
  void thereAndBackIsNoChange() {
    for (PressureScaling form : PressureScaling.values()) {
      double there = form.factor(from, to, 101_325, 1.4, 0.5);
      assertEquals(1, there * form.factor(to, from, 101_325, 1.4, 0.5), 1e-14);
      assertTrue(there > 1.6);
    }
  }
}
