package meniscus.core.budget;

import static org.junit.jupiter.api.Assertions.assertEquals;

import meniscus.core.air.AirState;
import org.junit.jupiter.api.Test;

/** The velocity at a probe, against a published table. */
class ProbeVelocityTest {

  /**
   * NACA Report 1135 (1953), table I, κ 1.4: p/p0 and T/T0 at Mach 0.10, 0.30 and 0.50 (from
   * memory; dry air at 20 °C has κ 1.402, hence 0.3 %).
   */
  @Test
  void itIsThatOfTheIsentropicTables() {
    AirState room = new AirState(293.15, 101_325, 0);
    double[][] table = {{0.10, 0.9930, 0.9980}, {0.30, 0.9395, 0.9823}, {0.50, 0.8430, 0.9524}};
    for (double[] row : table) {
      double staticPa = 95_000;
      double head = staticPa / row[1] - staticPa;
      double expected = row[0] * room.soundSpeed() * Math.sqrt(row[2]);
      assertEquals(
          expected,
          ProbeVelocity.metresPerSecond(room, head, staticPa),
          (row[0] < 0.2 ? 0.006 : 0.003) * expected,
          "Mach " + row[0]);
    }
  }

  /** Slow air: the head is half of density times velocity squared. */
  @Test
  void slowAirFollowsBernoulli() {
    AirState room = new AirState(293.15, 101_325, 0);
    double head = 0.5 * room.density() * 10 * 10;
    assertEquals(10, ProbeVelocity.metresPerSecond(room, head, 101_325), 0.01);
    assertEquals(0, ProbeVelocity.metresPerSecond(room, -3, 101_325));
  }
}
