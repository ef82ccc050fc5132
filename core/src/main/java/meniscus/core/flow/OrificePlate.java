package meniscus.core.flow;

import java.util.List;
import meniscus.core.air.AirState;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * A sharp-edged orifice plate, in a pipe or between two large rooms.
 *
 * <p>Flow: qm = C/√(1−β⁴) · ε · π/4 d² · √(2 ρ1 Δp), with C of ISO 5167-2:2003 equation (4)
 * (Reader-Harris/Gallagher). C depends on the Reynolds number, so flow is found by iteration.
 * Between two large rooms β is 0 and the equation's limit is C = 0.5961 + 0.000521 (10⁶/Re_d)^0.7:
 * outside the standard, an extrapolation with an uncertainty of its own.
 *
 * <p>Limits of the standard are checked by {@link #flow}, not by {@link #massFlow}.
 */
public final class OrificePlate {

  /** Below this pipe diameter the equation has one more term: 2.8 inches. */
  static final double SMALL_PIPE_M = 0.07112;

  /** The equation is stated up to 0.75; a little beyond it still goes on smoothly. */
  private static final double SENSELESS_RATIO = 0.8;

  private static final double INCH_M = 0.0254; // by definition

  /** C as the Reynolds number goes to infinity and the bore ratio to zero. */
  private static final double CONSTANT_TERM = 0.5961;

  /** Where the iteration starts: just below every C within the standard. */
  private static final double LEAST_COEFFICIENT = 0.58;

  private static final int MOST_STEPS = 50; // our own choice: an end in any case

  /** Relative size of the last Newton step; the error left is of the order of its square. */
  private static final double CLOSE_ENOUGH = 1e-8;

  private final double boreM;
  private final double pipeM;
  private final double ratio;
  private final double leastReynolds;

  /** π/4 d² /√(1−β⁴): area times velocity-of-approach factor. */
  private final double approachAreaM2;

  // C = base + slope7 Re^-0.7 + (slope3 + slope3A A) Re^-0.3 + taps (1 − 0.11 A), A = scaleA
  // Re^-0.8,
  // with Re the Reynolds number of the bore; all but Re is worked out once.
  private final double base;
  private final double slope7;
  private final double slope3;
  private final double slope3A;
  private final double taps;
  private final double scaleA;

  private OrificePlate(
      double boreM,
      double pipeM,
      double ratio,
      double taps,
      double downstream,
      double leastReynolds) {
    this.leastReynolds = leastReynolds;
    this.boreM = boreM;
    this.pipeM = pipeM;
    this.ratio = ratio;
    double beta2 = ratio * ratio;
    double beta4 = beta2 * beta2;
    double beta35 = beta2 * ratio * Math.sqrt(ratio);
    // ReD = β Re_d, so each power of 1/ReD carries a power of 1/β.
    double perPipe3 = ratio == 0 ? 0 : Math.pow(1e6 / ratio, 0.3);
    this.approachAreaM2 = Math.PI / 4 * boreM * boreM / Math.sqrt(1 - beta4);
    this.base =
        CONSTANT_TERM
            + 0.0261 * beta2
            - 0.216 * beta4 * beta4
            + downstream
            + smallPipe(pipeM, ratio);
    this.slope7 = 0.000521 * Math.pow(1e6, 0.7);
    this.slope3 = 0.0188 * beta35 * perPipe3;
    this.slope3A = 0.0063 * beta35 * perPipe3;
    this.taps = taps * beta4 / (1 - beta4);
    this.scaleA = Math.pow(19000, 0.8);
  }

  /**
   * A plate in a pipe.
   *
   * @param boreM bore diameter d at the working temperature
   * @param pipeM inside diameter D of the pipe upstream, larger than the bore
   * @param tapping where the pressures are taken
   */
  public static OrificePlate inPipe(double boreM, double pipeM, Tapping tapping) {
    checkedBore(boreM);
    if (!(pipeM > boreM) || Double.isInfinite(pipeM)) {
      throw new Refusal(
          Text.of(
              "the pipe (%.3f mm) must be wider than the bore (%.3f mm)",
              pipeM * 1000, boreM * 1000));
    }
    double ratio = boreM / pipeM;
    double l1 = tapping.upstreamDistance(pipeM);
    double m2 = 2 * tapping.downstreamDistance(pipeM) / (1 - ratio);
    double taps = 0.043 + 0.080 * Math.exp(-10 * l1) - 0.123 * Math.exp(-7 * l1);
    double downstream = -0.031 * (m2 - 0.8 * Math.pow(m2, 1.1)) * Math.pow(ratio, 1.3);
    double least =
        tapping == Tapping.FLANGE
            ? Math.max(5000, 170_000 * ratio * ratio * pipeM)
            : ratio <= 0.56 ? 5000 : 16_000 * ratio * ratio;
    return new OrificePlate(boreM, pipeM, ratio, taps, downstream, least);
  }

  /** A plate between two large rooms, such as the head's place on a bench. */
  public static OrificePlate betweenRooms(double boreM) {
    return new OrificePlate(checkedBore(boreM), Double.POSITIVE_INFINITY, 0, 0, 0, 0);
  }

  public double boreM() {
    return boreM;
  }

  /** Inside diameter of the pipe; infinite between two large rooms. */
  public double pipeM() {
    return pipeM;
  }

  /** Bore over pipe diameter, β; 0 between two large rooms. */
  public double ratio() {
    return ratio;
  }

  /** Whether the plate is between two large rooms, where the standard does not reach. */
  public boolean isExtrapolation() {
    return ratio == 0;
  }

  /**
   * Discharge coefficient C at a Reynolds number of the <em>bore</em>, Re_d = 4 qm/(π d μ). The
   * pipe's Reynolds number is ReD = β Re_d.
   */
  public double coefficient(double boreReynolds) {
    double log = Math.log(boreReynolds);
    double a = scaleA * Math.exp(-0.8 * log);
    return base
        + slope7 * Math.exp(-0.7 * log)
        + (slope3 + slope3A * a) * Math.exp(-0.3 * log)
        + taps * (1 - 0.11 * a);
  }

  /**
   * Relative expanded uncertainty (95 %) of C.
   *
   * <p>In a pipe, ISO 5167-2:2003, 5.3.3.1, as a public excerpt of that clause has it: 0.5 % for β
   * of 0.2 to 0.6, (1.667β−0.5) % above, with 0.9(0.75−β)(2.8−D/25.4 mm) % more in a pipe below
   * 71.12 mm and 0.5 % more for β above 0.5 with ReD below 10 000; and, from memory, (0.7−β) %
   * below 0.2.
   *
   * <p>Between two large rooms, our own estimate: 2.5 %, wide enough for the free jet's 0.611 and
   * the textbooks' 0.60 to 0.61, and half of the Reynolds-number term, whose slope is not published
   * there.
   */
  public double coefficientU95(double boreReynolds) {
    if (isExtrapolation()) {
      double c = coefficient(boreReynolds);
      return 0.025 + 0.5 * (c - CONSTANT_TERM) / c;
    }
    double percent = ratio < 0.2 ? 0.7 - ratio : ratio <= 0.6 ? 0.5 : 1.667 * ratio - 0.5;
    if (pipeM < SMALL_PIPE_M) {
      percent += 0.9 * (0.75 - ratio) * (2.8 - pipeM / INCH_M);
    }
    if (ratio > 0.5 && boreReynolds * ratio < 10_000) {
      percent += 0.5;
    }
    return percent / 100;
  }

  /**
   * Mass flow that a coefficient and an expansibility factor of 1 would give, kg/s. A negative drop
   * gives a negative flow.
   *
   * @param density upstream, kg/m³
   */
  public double idealMassFlow(double density, double dropPa) {
    return Math.copySign(approachAreaM2 * Math.sqrt(2 * density * Math.abs(dropPa)), dropPa);
  }

  /**
   * Mass flow of air, kg/s; see {@link #massFlow(double, double, double, double, double,
   * Expansibility)}.
   */
  public double massFlow(AirState upstream, double dropPa, Expansibility form) {
    return massFlow(
        upstream.density(),
        upstream.viscosity(),
        upstream.kappa(),
        upstream.pressurePa(),
        dropPa,
        form);
  }

  /**
   * Mass flow, kg/s, iterated on the Reynolds number; for every reading, so without limits checked.
   *
   * <p>A negative drop, as noise about zero gives, yields the negative of the flow at that drop, so
   * that the mean of noise is zero; true reverse flow through a plate is another matter. A drop of
   * the whole upstream pressure or more gives NaN.
   *
   * @param density upstream, kg/m³
   * @param viscosity dynamic, upstream, Pa s
   * @param kappa ratio of specific heats; infinite for a liquid
   * @param upstreamPa absolute pressure upstream
   */
  public double massFlow(
      double density,
      double viscosity,
      double kappa,
      double upstreamPa,
      double dropPa,
      Expansibility form) {
    double size = Math.abs(dropPa);
    if (size == 0) {
      return 0;
    }
    if (!(size < upstreamPa)) {
      return Double.NaN;
    }
    double atUnitC = idealMassFlow(density, dropPa) * form.factor(ratio, upstreamPa, size, kappa);
    return solvedCoefficient(Math.abs(boreReynolds(atUnitC, viscosity))) * atUnitC;
  }

  /**
   * Flow with everything a person needs to judge it.
   *
   * @param upstream air on the high-pressure side
   * @param dropPa pressure drop, above zero and below the upstream pressure
   * @throws Refusal for a drop that cannot be
   */
  public MeterFlow flow(AirState upstream, double dropPa, Expansibility form) {
    PlateLimits.checkDrop(dropPa, upstream.pressurePa());
    double expansibility = form.factor(ratio, upstream.pressurePa(), dropPa, upstream.kappa());
    double massFlow = massFlow(upstream, dropPa, form);
    double boreReynolds = boreReynolds(massFlow, upstream.viscosity());
    return new MeterFlow(
        massFlow,
        new MeterFlow.Factor(coefficient(boreReynolds), coefficientU95(boreReynolds)),
        new MeterFlow.Factor(
            expansibility, form.u95(upstream.pressurePa(), dropPa, upstream.kappa())),
        isExtrapolation() ? boreReynolds : boreReynolds * ratio,
        PlateLimits.kind(this, boreReynolds),
        PlateLimits.broken(this, upstream, dropPa, boreReynolds));
  }

  /**
   * Least pipe Reynolds number of ISO 5167-2:2003, 5.3.1: 5000 up to β = 0.56 and 16 000 β² above;
   * with flange tappings 5000 and 170 000 β² D. 0 between two large rooms, where there is no pipe.
   */
  double leastReynolds() {
    return leastReynolds;
  }

  /** Re_d = 4 qm/(π d μ). */
  public double boreReynolds(double massFlow, double viscosity) {
    return 4 * massFlow / (Math.PI * boreM * viscosity);
  }

  /** Limits of use of ISO 5167-2 that a plate in a pipe breaks whatever flows through it. */
  public List<String> brokenByShape() {
    return isExtrapolation() ? List.of() : PlateLimits.ofShape(this);
  }

  /**
   * Refuses a plate whose equation says nothing any more.
   *
   * @throws Refusal beyond a bore ratio of 0.8
   */
  public void refuseBeyondSense() {
    if (ratio > SENSELESS_RATIO) {
      throw new Refusal(
          Text.of(
              "the bore is %.3f of the pipe: beyond %.2f the equation of ISO 5167-2, stated up to"
                  + " 0.75, means nothing",
              ratio, SENSELESS_RATIO));
    }
  }

  /** ∂ln qm/∂ln d = 2/(1−β⁴): the derivative of the flow equation at constant C and ε. */
  public double boreSensitivity() {
    return 2 / (1 - Math.pow(ratio, 4));
  }

  /**
   * Solves C = coefficient(C · reynoldsAtUnitC) by Newton steps. C falls with the Reynolds number,
   * so from below the solution the steps climb to it without passing it.
   */
  private double solvedCoefficient(double reynoldsAtUnitC) {
    double c = LEAST_COEFFICIENT;
    for (int step = 0; step < MOST_STEPS; step++) {
      double log = Math.log(c * reynoldsAtUnitC);
      double a = scaleA * Math.exp(-0.8 * log);
      double p7 = slope7 * Math.exp(-0.7 * log);
      double p3 = Math.exp(-0.3 * log);
      double value = base + p7 + (slope3 + slope3A * a) * p3 + taps * (1 - 0.11 * a);
      double perLog = -0.7 * p7 - (0.3 * slope3 + 1.1 * slope3A * a) * p3 + 0.088 * taps * a;
      double change = (value - c) / (1 - perLog / c);
      c += change;
      if (Math.abs(change) <= CLOSE_ENOUGH * c) {
        return c;
      }
    }
    return c;
  }

  private static double smallPipe(double pipeM, double ratio) {
    return pipeM < SMALL_PIPE_M ? 0.011 * (0.75 - ratio) * (2.8 - pipeM / INCH_M) : 0;
  }

  private static double checkedBore(double boreM) {
    if (!(boreM > 0) || Double.isInfinite(boreM)) {
      throw new Refusal(Text.of("a plate's bore must be above zero, not %s m", boreM));
    }
    return boreM;
  }
}
