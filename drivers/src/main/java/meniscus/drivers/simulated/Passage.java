package meniscus.drivers.simulated;

import meniscus.core.flow.Direction;
import org.hipparchus.analysis.interpolation.SplineInterpolator;
import org.hipparchus.analysis.polynomials.PolynomialSplineFunction;

/** The way through whatever is mounted, as the equations see it. */
interface Passage {

  Passage BLANK = new Plate(0);

  /**
   * Effective area of attached flow [m²]: qm = area · expansion · √(2ρΔp).
   *
   * @param liftM of the valve [m]
   */
  double areaM2(double liftM, Direction direction);

  /**
   * Expansion factor.
   *
   * @param ratio downstream over upstream pressure, r
   * @param root r^(1/κ)
   */
  double expansion(double ratio, double root);

  /** Area π/4·d² that the test pressure pushes a valve with; 0 without valve [m²]. */
  default double headAreaM2() {
    return 0;
  }

  /** Velocity at the short side over (effective area × √(2Δp/1.2 kg/m³) × expansion) [1/m²]. */
  default double crowding(double liftM) {
    return 0;
  }

  static Passage of(Mounted mounted) {
    return mounted.fold(Head::new, plate -> new Plate(plateAreaM2(plate)), () -> BLANK);
  }

  private static double plateAreaM2(Mounted.Plate plate) {
    return plate.coefficient() * Math.PI / 4 * plate.boreM() * plate.boreM();
  }

  /** A sharp plate: expansibility of ISO 5167-2:2003 at bore ratio 0, 1 − 0.351(1 − r^(1/κ)). */
  record Plate(double areaM2) implements Passage {
    static double plateExpansion(double root) {
      return 1 - 0.351 * (1 - root);
    }

    @Override
    public double areaM2(double liftM, Direction direction) {
      return areaM2;
    }

    @Override
    public double expansion(double ratio, double root) {
      return plateExpansion(root);
    }
  }

  /**
   * A port: flows as an isentropic nozzle, Y² = κ/(κ−1) · r^(2/κ) · (1 − r^((κ−1)/κ)) / (1 − r).
   */
  final class Head implements Passage {
    private final Port port;
    private final PolynomialSplineFunction suction;
    private final PolynomialSplineFunction blowing;
    private final double lowestM;
    private final double highestM;

    Head(Port port) {
      this.port = port;
      double[] lifts = port.steps().stream().mapToDouble(Port.Step::liftM).toArray();
      SplineInterpolator spline = new SplineInterpolator();
      suction =
          spline.interpolate(
              lifts, port.steps().stream().mapToDouble(Port.Step::suction).toArray());
      blowing =
          spline.interpolate(
              lifts, port.steps().stream().mapToDouble(Port.Step::blowing).toArray());
      lowestM = lifts[0];
      highestM = lifts[lifts.length - 1];
    }

    @Override
    public double areaM2(double liftM, Direction direction) {
      PolynomialSplineFunction curve = direction == Direction.SUCTION ? suction : blowing;
      double coefficient = curve.value(Math.max(lowestM, Math.min(liftM, highestM)));
      return coefficient * Math.PI * port.headM() * liftM;
    }

    @Override
    public double expansion(double ratio, double root) {
      double fall = 1 - ratio;
      if (fall < 1e-9) {
        return 1;
      }
      return Math.sqrt(Air.KAPPA / (Air.KAPPA - 1) * root * root * (1 - ratio / root) / fall);
    }

    @Override
    public double headAreaM2() {
      return Math.PI / 4 * port.headM() * port.headM();
    }

    @Override
    public double crowding(double liftM) {
      return (1 + liftM / port.headM()) / port.smallestAreaM2();
    }
  }
}
