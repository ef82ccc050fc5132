package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.flow.PressureScaling;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;

/**
 * A curve that was typed in from elsewhere: a catalogue, a magazine, another shop's bench. Its air,
 * adapter and errors are mostly unknown, so it can be set beside a test but no outcome is given.
 *
 * @param name where it comes from, in words
 * @param testPressurePa that it was taken at [Pa], when known
 * @param within share that its source says its flows are good to [1], when it says so
 * @param points lifts rising
 */
public record ExternalCurve(
    String name, OptionalDouble testPressurePa, OptionalDouble within, List<Point> points) {

  /** Why a curve from elsewhere gets no outcome. */
  public static final String NO_OUTCOME =
      "no outcome: two benches that shared no plate and no travelling head may differ by more than"
          + " any port work does";

  /**
   * @param liftM [m]
   * @param flowM3PerS [m³/s]
   */
  public record Point(double liftM, double flowM3PerS) {}

  /**
   * One lift of the test.
   *
   * @param liftM of the test [m]
   * @param here the test's flow [m³/s]
   * @param elsewhere flow there, at the test's reference test pressure when both pressures are
   *     known [m³/s]
   * @param u95 half-width of the 95 % interval of the difference if the source's own word is
   *     believed [m³/s]; empty when it says nothing
   * @param interpolated straight between two of its points
   * @param near one of its own points lies no further than one step of the test's lifts: a straight
   *     line over a longer way can be out by more than what is compared
   */
  public record Beside(
      double liftM,
      double here,
      double elsewhere,
      OptionalDouble u95,
      boolean interpolated,
      boolean near) {

    /** Here against elsewhere, as a share of elsewhere [1]; empty far from its points. */
    public OptionalDouble relative() {
      return near ? OptionalDouble.of(here / elsewhere - 1) : OptionalDouble.empty();
    }
  }

  public ExternalCurve {
    points = List.copyOf(points);
    if (points.isEmpty()) {
      throw new Refusal("the curve has no points");
    }
    for (int i = 0; i < points.size(); i++) {
      Point point = points.get(i);
      if (!(point.flowM3PerS() > 0) || i > 0 && !(point.liftM() > points.get(i - 1).liftM())) {
        throw new Refusal(
            "point " + (i + 1) + " of the curve: lifts must rise and flows be above zero");
      }
    }
  }

  /** Factor from its test pressure to the test's reference one, by the plain root; 1 if unknown. */
  public double toReference(TestCurve test) {
    double reference = test.plan().reference().testPressurePa();
    return testPressurePa.isPresent()
        ? PressureScaling.ROOT.factor(
            testPressurePa.getAsDouble(), reference, test.plan().reference().pressurePa(), 1.4, 0)
        : 1;
  }

  /** Lifts of the test that lie within the curve; nothing is guessed beyond it. */
  public List<Beside> beside(TestCurve test) {
    double factor = toReference(test);
    List<Beside> all = new ArrayList<>();
    for (LiftPoint point : test.curve()) {
      double lift = point.liftM();
      int above = 0;
      while (above < points.size() && Lifts.isBelow(points.get(above).liftM(), lift)) {
        above++;
      }
      if (!TestCurve.trusted(point) || above == points.size()) {
        continue;
      }
      boolean same = Lifts.same(points.get(above).liftM(), lift);
      if (same || above > 0) {
        double there = factor * (same ? points.get(above).flowM3PerS() : straight(above, lift));
        OptionalDouble u95 =
            within.isPresent()
                ? OptionalDouble.of(
                    Math.hypot(point.flowU95().orElseThrow(), within.getAsDouble() * there))
                : OptionalDouble.empty();
        all.add(new Beside(lift, point.flowM3PerS(), there, u95, !same, same || near(test, lift)));
      }
    }
    return all;
  }

  private boolean near(TestCurve test, double liftM) {
    double step =
        test.curve().stream()
            .filter(point -> !Lifts.same(point.liftM(), liftM))
            .mapToDouble(point -> Math.abs(point.liftM() - liftM))
            .min()
            .orElse(0);
    return points.stream().anyMatch(own -> !Lifts.isBelow(step, Math.abs(own.liftM() - liftM)));
  }

  private double straight(int above, double liftM) {
    Point low = points.get(above - 1);
    Point high = points.get(above);
    double share = (liftM - low.liftM()) / (high.liftM() - low.liftM());
    return low.flowM3PerS() + share * (high.flowM3PerS() - low.flowM3PerS());
  }
}
