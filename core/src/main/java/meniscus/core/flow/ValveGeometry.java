package meniscus.core.flow;

import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * Areas of a poppet valve at a lift: the shortest cone between valve and seat, after Heywood,
 * Internal Combustion Engine Fundamentals (1988), equations 6.7 to 6.9 (form from memory).
 *
 * <p>The formulas mean the outer edge of the seat, which is the head's only where the seat reaches
 * it: a seat of several angles ends inside.
 *
 * @param headM diameter of the valve head, that the trade's curtain is counted with
 * @param seatOuterM outer diameter of the seat, Dv of the formulas
 * @param seatWidthM width of the seat seen from below (radially), w; the width along the face is
 *     w/cos of the seat angle
 * @param seatAngleRad between seat face and head plane, β; 45° for most
 * @param throatM inside diameter of the port behind the seat, Dp
 * @param stemM diameter of the stem, Ds
 */
public record ValveGeometry(
    double headM,
    double seatOuterM,
    double seatWidthM,
    double seatAngleRad,
    double throatM,
    double stemM) {

  public ValveGeometry {
    check(headM > 0 && Double.isFinite(headM), "head diameter must be above zero", headM);
    check(
        seatOuterM > 0 && seatOuterM <= headM,
        "the seat's outer diameter must be above zero and no larger than the head",
        seatOuterM);
    check(
        seatWidthM > 0 && 2 * seatWidthM < seatOuterM,
        "seat width must be above zero and less than half the seat's outer diameter",
        seatWidthM);
    check(
        seatAngleRad > 0 && seatAngleRad < Math.PI / 2,
        "seat angle must be between 0 and 90 degrees from the head plane (radians)",
        seatAngleRad);
    check(stemM >= 0 && Double.isFinite(stemM), "stem diameter must not be negative", stemM);
    check(
        throatM > stemM && throatM < seatOuterM,
        "throat must be wider than the stem and narrower than the seat",
        throatM);
  }

  /** With a seat that reaches the edge of the head. */
  public ValveGeometry(
      double headM, double seatWidthM, double seatAngleRad, double throatM, double stemM) {
    this(headM, headM, seatWidthM, seatAngleRad, throatM, stemM);
  }

  /** Which part of the valve is the narrowest. */
  public enum Regime {
    /** The cone's foot stands on the seat: A = πL cos β (Dv − 2w + (L/2) sin 2β). */
    SEAT(1),
    /**
     * The cone reaches from the seat's inner to its outer edge: A = π(Dv−w)√((L − w tan β)² + w²).
     */
    EDGE(2),
    /** The throat less the stem, whatever the lift: A = π/4 (Dp² − Ds²). */
    THROAT(3);

    private final int number;

    Regime(int number) {
      this.number = number;
    }

    /** 1 to 3 from the lowest lift. */
    public int number() {
      return number;
    }
  }

  /** Smallest area the air passes, m². */
  public double seatArea(double liftM) {
    return Math.min(coneArea(checkedLift(liftM)), throatArea());
  }

  /** Which of the three areas {@link #seatArea} is at this lift. */
  public Regime regime(double liftM) {
    if (coneArea(checkedLift(liftM)) > throatArea()) {
      return Regime.THROAT;
    }
    return liftM <= seatLimit() ? Regime.SEAT : Regime.EDGE;
  }

  /** Lift at which the cone leaves the seat, w/(sin β cos β), m. */
  public double seatLimit() {
    return seatWidthM / (Math.sin(seatAngleRad) * Math.cos(seatAngleRad));
  }

  /** π·head·lift, m²: what the trade divides by; larger than the true area. */
  public double curtainArea(double liftM) {
    return Math.PI * headM * checkedLift(liftM);
  }

  /** π/4 (Dp² − Ds²), m². */
  public double throatArea() {
    return Math.PI / 4 * (throatM * throatM - stemM * stemM);
  }

  /** π/4 head², m². */
  public double headArea() {
    return Math.PI / 4 * headM * headM;
  }

  /** Lift over head diameter. */
  public double liftRatio(double liftM) {
    return checkedLift(liftM) / headM;
  }

  /** The coefficient of one valve at a lift, over the area asked for. */
  public DischargeCoefficient dischargeCoefficient(
      double effectiveAreaM2, double liftM, DischargeCoefficient.Area area) {
    double over =
        switch (area) {
          case CURTAIN -> curtainArea(liftM);
          case SEAT -> seatArea(liftM);
          case THROAT -> throatArea();
          case HEAD -> headArea();
        };
    return new DischargeCoefficient(effectiveAreaM2 / over, area, over);
  }

  private double coneArea(double liftM) {
    if (liftM <= seatLimit()) {
      double inner = seatOuterM - 2 * seatWidthM;
      return Math.PI
          * liftM
          * Math.cos(seatAngleRad)
          * (inner + liftM / 2 * Math.sin(2 * seatAngleRad));
    }
    double rise = liftM - seatWidthM * Math.tan(seatAngleRad);
    return Math.PI * (seatOuterM - seatWidthM) * Math.hypot(rise, seatWidthM);
  }

  private static double checkedLift(double liftM) {
    check(liftM >= 0 && Double.isFinite(liftM), "valve lift must not be negative", liftM);
    return liftM;
  }

  private static void check(boolean good, String rule, double found) {
    if (!good) {
      throw new Refusal(Text.of("%s, not %s", rule, found));
    }
  }
}
