package meniscus.core.flow;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.air.AirState;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * Nozzles and Venturi tubes in a pipe: qm = C/√(1−β⁴) · ε · π/4 d² · √(2 ρ1 Δp), after ISO
 * 5167-3:2003 (nozzles) and ISO 5167-4:2003 (Venturi tubes).
 *
 * <p>Coefficients and expansibility as in the library fluids, whose tests carry the standard's own
 * tables; of the Venturi nozzle that library has 0.196 in its text and 0.198 in its code, and only
 * 0.196 gives the table. Limits of use and uncertainties are from memory, but for the least pipe
 * and Reynolds number of each part, which its published scope confirms, and the β of the Venturi
 * nozzle, which are its table's ends.
 */
public enum ThroatMeter {
  /** C = 0.9900 − 0.2262 β^4.1 − (0.00175 β² − 0.0033 β^4.15)(10⁶/ReD)^1.15. */
  ISA_1932(new Limits(0.05, 0.5, 0.3, 0.8, 2e4, 1e7), "ISO 5167-3", Double.NaN, Double.NaN) {
    @Override
    double coefficient(double ratio, double reynolds) {
      return 0.9900
          - 0.2262 * Math.pow(ratio, 4.1)
          - (0.00175 * ratio * ratio - 0.0033 * Math.pow(ratio, 4.15))
              * Math.pow(1e6 / reynolds, 1.15);
    }

    @Override
    double coefficientU95(double ratio) {
      return (ratio <= 0.6 ? 0.8 : 2 * ratio - 0.4) / 100;
    }

    /** 70 000 for β below 0.44. */
    @Override
    double leastReynolds(double ratio) {
      return ratio < 0.44 ? 7e4 : 2e4;
    }
  },
  /** C = 0.9965 − 0.00653 √β √(10⁶/ReD). */
  LONG_RADIUS(new Limits(0.05, 0.63, 0.2, 0.8, 1e4, 1e7), "ISO 5167-3", Double.NaN, 0.02) {
    @Override
    double coefficient(double ratio, double reynolds) {
      return 0.9965 - 0.00653 * Math.sqrt(ratio) * Math.sqrt(1e6 / reynolds);
    }
  },
  /** C = 0.9858 − 0.196 β^4.5. */
  VENTURI_NOZZLE(
      new Limits(0.065, 0.5, 0.316, 0.775, 1.5e5, 2e6), "ISO 5167-3", Double.NaN, Double.NaN) {
    @Override
    double coefficient(double ratio, double reynolds) {
      return 0.9858 - 0.196 * Math.pow(ratio, 4.5);
    }

    @Override
    double coefficientU95(double ratio) {
      return (1.2 + 1.5 * Math.pow(ratio, 4)) / 100;
    }
  },
  /** Venturi tube as cast. */
  CAST(new Limits(0.1, 0.8, 0.3, 0.75, 2e5, 2e6), "ISO 5167-4", 0.984, 0.007),
  /** Venturi tube with a machined convergent. */
  MACHINED(new Limits(0.05, 0.25, 0.4, 0.75, 2e5, 1e6), "ISO 5167-4", 0.995, 0.01),
  /** Venturi tube with a rough-welded convergent of sheet. */
  WELDED(new Limits(0.2, 1.2, 0.4, 0.7, 2e5, 2e6), "ISO 5167-4", 0.985, 0.015);

  // ISO 5167-3 and -4:2003: tau is 0.75 or more.
  private static final double LEAST_PRESSURE_RATIO = 0.75;
  private static final int MOST_STEPS = 100; // our own choice: an end in any case

  /** Limits of use. */
  private record Limits(
      double leastPipeM,
      double mostPipeM,
      double leastRatio,
      double mostRatio,
      double leastReynolds,
      double mostReynolds) {}

  private final Limits limits;
  private final String standard;
  private final double coefficient;
  private final double coefficientU95;

  /**
   * @param coefficient C, where it is one number
   * @param coefficientU95 its relative expanded uncertainty (95 %), where that is one number
   */
  ThroatMeter(Limits limits, String standard, double coefficient, double coefficientU95) {
    this.limits = limits;
    this.standard = standard;
    this.coefficient = coefficient;
    this.coefficientU95 = coefficientU95;
  }

  double coefficient(double ratio, double reynolds) {
    return coefficient;
  }

  double coefficientU95(double ratio) {
    return coefficientU95;
  }

  double leastReynolds(double ratio) {
    return limits.leastReynolds;
  }

  /** Which part of the standard it belongs to. */
  public String standard() {
    return standard;
  }

  /**
   * Flow of air.
   *
   * @param throatM diameter of the throat d
   * @param pipeM inside diameter D of the pipe upstream
   * @throws Refusal for a throat that is no throat or a drop that cannot be
   */
  public MeterFlow flow(double throatM, double pipeM, AirState upstream, double dropPa) {
    PlateLimits.checkDrop(dropPa, upstream.pressurePa());
    return flow(
        throatM,
        pipeM,
        new Fluid(
            upstream.density(), upstream.viscosity(), upstream.kappa(), upstream.pressurePa()),
        dropPa);
  }

  /** What flows: density [kg/m³], viscosity [Pa s], κ and pressure [Pa], all upstream. */
  record Fluid(double density, double viscosity, double kappa, double pressurePa) {}

  MeterFlow flow(double throatM, double pipeM, Fluid fluid, double dropPa) {
    if (!(throatM > 0) || !(pipeM > throatM) || Double.isInfinite(pipeM)) {
      throw new Refusal(
          Text.of(
              "the pipe (%.3f mm) must be wider than the throat (%.3f mm), and the throat above zero",
              pipeM * 1000, throatM * 1000));
    }
    double ratio = throatM / pipeM;
    double beta4 = Math.pow(ratio, 4);
    double expansibility = expansibility(ratio, fluid.pressurePa, dropPa, fluid.kappa);
    double ideal =
        expansibility
            / Math.sqrt(1 - beta4)
            * (Math.PI / 4 * throatM * throatM)
            * Math.sqrt(2 * fluid.density * dropPa);
    double perFlow = 4 / (Math.PI * pipeM * fluid.viscosity);
    double c = coefficient(ratio, perFlow * ideal);
    for (int step = 0; step < MOST_STEPS; step++) {
      double next = coefficient(ratio, perFlow * Math.max(c, 0.1) * ideal);
      if (Math.abs(next - c) <= 1e-14) {
        break;
      }
      c = next;
    }
    double reynolds = perFlow * c * ideal;
    double perPressure = dropPa / fluid.pressurePa;
    double expansibilityU95 =
        (this == ISA_1932 || this == LONG_RADIUS ? 0.02 : 0.04 + beta4 * beta4) * perPressure;
    return new MeterFlow(
        c * ideal,
        new MeterFlow.Factor(c, coefficientU95(ratio)),
        new MeterFlow.Factor(expansibility, expansibilityU95),
        reynolds,
        List.of(),
        broken(pipeM, ratio, reynolds, 1 - perPressure));
  }

  /**
   * ε = √(κτ^(2/κ)/(κ−1) · (1−β⁴)/(1−β⁴τ^(2/κ)) · (1−τ^((κ−1)/κ))/(1−τ)), τ = p2/p1: isentropic
   * flow through a throat that the air fills. Its uncertainty (95 %) is 2 Δp/p1 for nozzles and (4
   * + 100 β⁸) Δp/p1 for Venturi nozzles and tubes, in per cent (from memory).
   */
  static double expansibility(double ratio, double upstreamPa, double dropPa, double kappa) {
    double tau = 1 - dropPa / upstreamPa;
    double beta4 = Math.pow(ratio, 4);
    double power = Math.pow(tau, 2 / kappa);
    return Math.sqrt(
        kappa
            * power
            / (kappa - 1)
            * (1 - beta4)
            / (1 - beta4 * power)
            * (1 - Math.pow(tau, (kappa - 1) / kappa))
            / (1 - tau));
  }

  private List<String> broken(double pipeM, double ratio, double reynolds, double tau) {
    List<String> broken = new ArrayList<>();
    if (pipeM < limits.leastPipeM || pipeM > limits.mostPipeM) {
      broken.add(
          Text.of(
              "pipe %.1f mm is outside %.0f to %.0f mm (%s)",
              pipeM * 1000, limits.leastPipeM * 1000, limits.mostPipeM * 1000, standard));
    }
    if (ratio < limits.leastRatio || ratio > limits.mostRatio) {
      broken.add(
          Text.of(
              "throat over pipe diameter %.3f is outside %s to %s (%s)",
              ratio, limits.leastRatio, limits.mostRatio, standard));
    }
    if (reynolds < leastReynolds(ratio) || reynolds > limits.mostReynolds) {
      broken.add(
          Text.of(
              "pipe Reynolds number %.0f is outside %.0f to %.0f (%s)",
              reynolds, leastReynolds(ratio), limits.mostReynolds, standard));
    }
    if (tau < LEAST_PRESSURE_RATIO) {
      broken.add(
          Text.of(
              "pressure ratio %.3f is below 0.75 (%s): the expansibility factor is not proven",
              tau, standard));
    }
    return broken;
  }
}
