package meniscus.core.settle;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.hipparchus.distribution.continuous.NormalDistribution;
import org.hipparchus.distribution.continuous.TDistribution;
import org.junit.jupiter.api.Test;

/** Fast tails against a library's distributions. */
class StudentMixtureTest {

  @Test
  void normalTailAgrees() {
    NormalDistribution normal = new NormalDistribution();
    for (double z = -6; z <= 6; z += 0.25) {
      assertEquals(1 - normal.cumulativeProbability(z), StudentMixture.normalTail(z), 1e-7);
    }
  }

  @Test
  void studentTailAgrees() {
    for (double nu : new double[] {6, 10, 30, 200}) {
      TDistribution t = new TDistribution(nu);
      for (double x = 0; x <= 8; x += 0.25) {
        double exact = 1 - t.cumulativeProbability(x);
        assertEquals(exact, StudentMixture.tail(x, nu), 0.0005, "nu " + nu + " at " + x);
      }
    }
  }

  @Test
  void oneComponentHasTheHalfWidthOfStudentsDistribution() {
    StudentMixture mixture = new StudentMixture();
    mixture.add(1, 5, 0.2, 12);
    double exact = 0.2 * new TDistribution(12).inverseCumulativeProbability(0.975);
    assertEquals(exact, mixture.halfWidth(5), 0.01 * exact);
  }

  @Test
  void twoFarComponentsAreBothInside() {
    StudentMixture mixture = new StudentMixture();
    mixture.add(0.5, -1, 0.01, 100);
    mixture.add(0.5, 1, 0.01, 100);
    assertEquals(0, mixture.mean(), 1e-12);
    // 2.5 % beyond each: the 95 % point of a half is its own 5 % upper point.
    assertEquals(1 + 0.01 * 1.66, mixture.halfWidth(0), 0.001);
  }
}
