package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;

/**
 * Isentropic flow tables for κ = 1.4, as NACA Report 1135 has them. Seen: p/p0 0.8430 and ρ/ρ0
 * 0.8852 at M 0.50 in a textbook's table, p/p0 0.5283 and ρ/ρ0 0.6339 at M 1 in an aeronautical
 * data book; further digits are from memory.
 */
class NacaReport1135Test {

  private static final double KAPPA = 1.4;

  @Test
  void criticalPressureRatio() {
    assertEquals(0.528282, Nozzle.criticalRatio(KAPPA), 1e-6);
  }

  @Test
  void mostMassFlow() {
    assertEquals(0.684731, massFunction(1 - Nozzle.criticalRatio(KAPPA)), 1e-6);
  }

  /** At Mach 0.5 p/p0 = 0.84302 and A/A* = 1.33984. */
  @Test
  void massFlowAtMachOneHalf() {
    assertEquals(0.684731 / 1.33984, massFunction(1 - 0.84302), 1e-5);
  }

  /**
   * Speed in a section: at Mach 0.30 A/A* = 2.0351 and V/a* = 0.32572 (from memory), with A/A* of
   * still air's a0 = 1: Q/a0 = 0.57870 at Mach 1, a* = 0.91287.
   */
  @Test
  void speedInASectionAtMachThreeTenths() {
    double share = 0.578704 / 2.0351;
    assertEquals(0.32572 * 0.912871, AirSpeed.inSection(share, 1, 1, KAPPA).orElseThrow(), 2e-5);
    // The twentieth by which volume flow over area falls short there.
    assertEquals(1.0456, AirSpeed.inSection(share, 1, 1, KAPPA).orElseThrow() / share, 2e-4);
    assertEquals(OptionalDouble.empty(), AirSpeed.inSection(0.5788, 1, 1, KAPPA));
    assertEquals(1e-3, AirSpeed.inSection(1e-3, 1, 1, KAPPA).orElseThrow(), 1e-8);
  }

  @Test
  void moreDropBringsNoMoreFlowOnceChoked() {
    assertEquals(0.684731, massFunction(0.6), 1e-6);
    assertEquals(0.684731, massFunction(1), 1e-6);
  }

  /** qm √(R T0)/(A p0) with p0 = 1 and ρ0 = 1, where R T0 = 1. */
  private static double massFunction(double drop) {
    return Nozzle.massFlux(1, 1, drop, KAPPA);
  }
}
