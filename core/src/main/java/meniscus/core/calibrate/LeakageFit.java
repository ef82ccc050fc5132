package meniscus.core.calibrate;

import java.time.Instant;
import java.util.List;
import java.util.function.Function;
import meniscus.core.bench.Leakage;
import meniscus.core.budget.InputErrors;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * A leak fitted through readings at several test pressures: q = k · Δpⁿ, weighted, with n held from
 * 0.5 (sharp hole) to 1 (porous gasket).
 */
public final class LeakageFit {

  /** Below this many standard uncertainties a leak counts as too small to see. */
  private static final double SEEN = 2;

  /** Exponent where the readings do not tell it, in the middle of what is possible. */
  private static final double MIDDLE_EXPONENT = 0.65;

  // Of 0.005: our own choice, finer than readings tell it.
  private static final int EXPONENT_STEPS = 100;

  private LeakageFit() {}

  /** A leakage, or why it is not accepted. */
  public sealed interface Outcome {
    default <T> T fold(Function<Measured, T> measured, Function<TooLarge, T> tooLarge) {
      return this instanceof Measured it ? measured.apply(it) : tooLarge.apply((TooLarge) this);
    }
  }

  /**
   * @param leakage to be stored
   * @param seen false when the leak is too small to see: then its limit counts, not zero
   * @param couldHideM3PerS the most that the leak may be by these readings [m³/s]. What counts of a
   *     leak that is not seen is no more than of a bench that was never measured: whoever measured
   *     badly knows no less than before
   */
  public record Measured(Leakage leakage, boolean seen, double couldHideM3PerS)
      implements Outcome {}

  /**
   * More than is accepted, or so much could hide.
   *
   * @param reason what was seen and what to do
   */
  public record TooLarge(String reason) implements Outcome {}

  /**
   * @param uk standard uncertainty of k; what the readings have in common moves them all together
   */
  private record Trial(double exponent, double k, double uk, double chiSquare) {}

  /**
   * Fits a leak.
   *
   * @param setUp what was mounted
   * @param readings one a test pressure
   * @param atPa test pressure at which size, limit and uncertainty are stated [Pa]
   * @param limitM3PerS largest accepted leak at that pressure [m³/s]; about 1 cfm is common
   *     practice
   */
  public static Outcome fit(
      Direction direction,
      String setUp,
      List<LeakReading> readings,
      double atPa,
      double limitM3PerS,
      Instant at) {
    if (readings.isEmpty()) {
      throw new Refusal("leakage needs readings at one test pressure or more");
    }
    Trial best = best(readings);
    double flow = best.k * Math.pow(atPa, best.exponent);
    double u = uncertainty(readings, best, atPa);
    if (flow - u > limitM3PerS) {
      return new TooLarge(
          Text.of(
              "%s leaks %.2f cfm (%.2f L/s) at %.0f Pa, more than the limit of %.2f cfm: look for"
                  + " the leak with a piece of smoke or soap water at joints, plugs, guides and"
                  + " hoses, then measure again",
              setUp, cfm(flow), flow * 1e3, atPa, cfm(limitM3PerS)));
    }
    boolean seen = flow > SEEN * u;
    double limit = Math.max(0, flow) + SEEN * u;
    if (!seen && limit > limitM3PerS) {
      return new TooLarge(
          Text.of(
              "%s: no leak is seen at %.0f Pa, but %.2f cfm (%.2f L/s) could hide in what the gauge"
                  + " cannot tell, more than the limit of %.2f cfm, so nothing was learned: measure"
                  + " it on a smaller range, on a finer gauge, after a new zero, or by the fall of"
                  + " the pressure; or accept a larger limit: the bench is then reckoned with as"
                  + " one that was never measured",
              setUp, atPa, cfm(limit), limit * 1e3, cfm(limitM3PerS)));
    }
    Leakage leakage =
        seen
            ? new Leakage(direction, setUp, best.k, best.exponent, u / flow, limit, at)
            : new Leakage(
                direction,
                setUp,
                0,
                MIDDLE_EXPONENT,
                0,
                Math.min(limit, InputErrors.unknownLeakM3PerS(atPa)),
                at);
    return new Measured(leakage, seen, limit);
  }

  private static Trial best(List<LeakReading> readings) {
    if (readings.size() == 1) {
      return trial(readings, MIDDLE_EXPONENT);
    }
    Trial best = trial(readings, MIDDLE_EXPONENT);
    for (int i = 0; i <= EXPONENT_STEPS; i++) {
      Trial next = trial(readings, 0.5 + 0.5 * i / EXPONENT_STEPS);
      // Without a leak every exponent fits alike: keep to the middle unless another is better.
      if (next.k > 0 && next.chiSquare < best.chiSquare - 1e-9) {
        best = next;
      }
    }
    return best;
  }

  /** Weighted least squares for k with the exponent given. */
  private static Trial trial(List<LeakReading> readings, double exponent) {
    double xy = 0;
    double xx = 0;
    for (LeakReading r : readings) {
      double x = Math.pow(r.testPressurePa(), exponent);
      double weight = 1 / (r.standardUncertaintyM3PerS() * r.standardUncertaintyM3PerS());
      xy += weight * x * r.flowM3PerS();
      xx += weight * x * x;
    }
    double k = xy / xx;
    double chiSquare = 0;
    double own = 0;
    double common = 0;
    for (LeakReading r : readings) {
      double left =
          (r.flowM3PerS() - k * Math.pow(r.testPressurePa(), exponent))
              / r.standardUncertaintyM3PerS();
      chiSquare += left * left;
      double whole = r.standardUncertaintyM3PerS();
      double share = Math.pow(r.testPressurePa(), exponent) / (whole * whole) / xx;
      own += share * share * r.ownVariance();
      common += share * r.commonM3PerS();
    }
    return new Trial(exponent, k, Math.sqrt(own + common * common), chiSquare);
  }

  /**
   * Of the leak at a test pressure: that of k, and how far the exponents that fit about as well (χ²
   * within 1 of the best) would move it.
   */
  private static double uncertainty(List<LeakReading> readings, Trial best, double atPa) {
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    for (int i = 0; i <= EXPONENT_STEPS; i++) {
      Trial trial = trial(readings, 0.5 + 0.5 * i / EXPONENT_STEPS);
      if (trial.chiSquare <= best.chiSquare + 1) {
        double flow = trial.k * Math.pow(atPa, trial.exponent);
        low = Math.min(low, flow);
        high = Math.max(high, flow);
      }
    }
    double flow = best.k * Math.pow(atPa, best.exponent);
    double ofExponent = Math.max(Math.max(high - flow, flow - low), 0);
    return Math.hypot(best.uk * Math.pow(atPa, best.exponent), ofExponent);
  }

  private static double cfm(double m3PerS) {
    return m3PerS * 60 / (0.3048 * 0.3048 * 0.3048);
  }
}
