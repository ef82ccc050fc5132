package meniscus.core.flow;

import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/** How fast air goes: on average through an area, at a probe, and through a running valve. */
public final class AirSpeed {

  /**
   * Above it the pitot relation of subsonic flow does not hold: a shock stands before the probe.
   */
  private static final double SONIC = 1;

  /** Halvings of Mach 0 to 1 until no digit of a double is left. */
  private static final int BISECTIONS = 60;

  private AirSpeed() {}

  /** Mean speed of a volume flow through an area [m/s], of air of that volume flow's state. */
  public static double mean(double flowM3PerS, double areaM2) {
    if (!(areaM2 > 0) || !(flowM3PerS >= 0)) {
      throw new Refusal(
          Text.of(
              "a mean speed needs an area above zero and a flow of zero or more, not %s m² and %s"
                  + " m³/s",
              areaM2, flowM3PerS));
    }
    return flowM3PerS / areaM2;
  }

  /**
   * Speed in a section that a flow fills evenly [m/s]: the air there is thinner than the still air
   * it came from, so it goes faster than that air's volume flow over the area, by a twentieth at
   * Mach 0.3. Isentropic flow of an ideal gas, NACA Report 1135 (1953), eqs. 44 and 80, solved for
   * the Mach number: Q/(A a0) = M (1 + (κ−1)/2 M²)^(−(κ+1)/(2(κ−1))), v = a0 M / √(1 + (κ−1)/2 M²).
   *
   * @param flowM3PerS volume flow, of still air before the section
   * @param areaM2 of the section
   * @param soundSpeed of the still air [m/s]
   * @param kappa ratio of its specific heats
   * @return empty where the section would be choked
   */
  public static OptionalDouble inSection(
      double flowM3PerS, double areaM2, double soundSpeed, double kappa) {
    double share = mean(flowM3PerS, areaM2) / soundSpeed;
    if (!(share < filling(1, kappa))) {
      return OptionalDouble.empty();
    }
    double low = 0;
    double high = 1;
    for (int i = 0; i < BISECTIONS; i++) {
      double middle = (low + high) / 2;
      if (filling(middle, kappa) < share) {
        low = middle;
      } else {
        high = middle;
      }
    }
    double mach = (low + high) / 2;
    return OptionalDouble.of(soundSpeed * mach / Math.sqrt(1 + (kappa - 1) / 2 * mach * mach));
  }

  private static double filling(double mach, double kappa) {
    return mach * Math.pow(1 + (kappa - 1) / 2 * mach * mach, -(kappa + 1) / (2 * (kappa - 1)));
  }

  /**
   * Speed at a probe and its Mach number.
   *
   * @param speed m/s
   * @param mach 1
   */
  public record AtProbe(double speed, double mach) {}

  /**
   * Local speed from a probe's impact pressure, p0 − p: M² = 2/(κ−1) · ((1 + Δp/p)^((κ−1)/κ) − 1),
   * NACA Report 1135, eq. 44 solved for M (isentropic, subsonic), and v = M a at the static
   * temperature.
   *
   * @param air static state beside the probe: its pressure is p, its temperature the static one
   * @param impactPa total less static pressure
   * @throws Refusal when it is negative, or so high that the flow were sonic
   */
  public static AtProbe atProbe(AirState air, double impactPa) {
    if (!(impactPa >= 0)) {
      throw new Refusal(
          Text.of(
              "the probe's pressure is %.1f Pa: total less static pressure is not negative; are its"
                  + " hoses swapped?",
              impactPa));
    }
    double kappa = air.kappa();
    double mach =
        Math.sqrt(
            2
                / (kappa - 1)
                * Math.expm1((kappa - 1) / kappa * Math.log1p(impactPa / air.pressurePa())));
    if (mach >= SONIC) {
      throw new Refusal(
          Text.of(
              "a probe pressure of %.0f Pa would be Mach %.2f: the relation holds below the speed of"
                  + " sound; is it in the right unit?",
              impactPa, mach));
    }
    return new AtProbe(mach * air.soundSpeed(), mach);
  }

  /**
   * Inlet Mach index Z = (piston area · mean piston speed) / (mean effective valve area · speed of
   * sound), with the mean piston speed 2 · stroke · revolutions. C. F. Taylor, The Internal
   * Combustion Engine in Theory and Practice, vol. 1, chapter 6, with the mean effective area in
   * place of valve area times mean coefficient. In this form it stands in the mechanical
   * engineering dictionary of the Japan Society of Mechanical Engineers (entry seen), which has
   * volumetric efficiency fall off above 0.5; Taylor's own figure is 0.6 (from memory). A rule of
   * four-stroke engines with ordinary timing, not a limit of every one.
   *
   * @param boreM of the cylinder
   * @param strokeM of the piston
   * @param revolutionsPerS of the crank [1/s]
   * @param meanAreaM2 effective area of all inlet valves, averaged over the time they are open
   * @param soundSpeed in the inlet [m/s]
   */
  public static double machIndex(
      double boreM, double strokeM, double revolutionsPerS, double meanAreaM2, double soundSpeed) {
    if (!(boreM > 0 && strokeM > 0 && revolutionsPerS > 0 && meanAreaM2 > 0 && soundSpeed > 0)) {
      throw new Refusal(
          "bore, stroke, speed, mean effective area and speed of sound must be above zero");
    }
    return Math.PI / 4 * boreM * boreM * 2 * strokeM * revolutionsPerS / (meanAreaM2 * soundSpeed);
  }
}
