package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.decide.Estimate;
import meniscus.core.decide.Holm;
import meniscus.core.flow.PressureScaling;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Value;
import meniscus.core.quantity.Worded;
import meniscus.core.refusal.Refusal;
import meniscus.core.uncertainty.Budget;

/**
 * Flows that somebody aims at, held against one test. All are asked at once: one of them or more is
 * falsely called reached, or not reached, with a chance of 5 %.
 *
 * @param name of the target in words; empty for single aims
 * @param testPressurePa that they are meant at [Pa]; empty: that of the test's reference
 * @param points aimed at
 */
public record Aims(String name, OptionalDouble testPressurePa, List<Point> points) {

  /**
   * @param liftM [m]
   * @param flowM3PerS [m³/s]
   */
  public record Point(double liftM, double flowM3PerS) {

    /**
     * {@code 245 cfm at 0.600 in}.
     *
     * @throws Refusal saying how an aim is written
     */
    public static Point parse(String text) {
      String[] parts = text.split("\\bat\\b");
      if (parts.length != 2) {
        throw new Refusal(
            "\"" + text + "\": write a flow and a lift, such as \"245 cfm at 0.600 in\"");
      }
      return new Point(
          Value.parse(parts[1].strip(), Dimension.LENGTH).si(),
          Value.parse(parts[0].strip(), Dimension.VOLUME_FLOW).si());
    }
  }

  /** How an aim stands. */
  public enum Stands implements Worded {
    REACHED,
    NOT_REACHED,
    CANNOT_TELL;
  }

  /**
   * One aim against the test.
   *
   * @param aimed at the test's reference conditions [m³/s]
   * @param here the flow's difference to the aim [m³/s]; empty: not tested at that lift, nor at
   *     four lifts around it
   * @param half half-width of the interval that decided [m³/s]
   * @param interpolated true between two tested lifts
   */
  public record Held(
      double liftM,
      double aimed,
      Optional<Estimate> here,
      double half,
      boolean interpolated,
      Stands stands) {

    /** The test's flow [m³/s]. */
    public OptionalDouble flow() {
      return here.isPresent()
          ? OptionalDouble.of(aimed + here.get().value())
          : OptionalDouble.empty();
    }
  }

  public Aims {
    points = List.copyOf(points);
  }

  /** Each aim in turn. */
  public List<Held> against(TestCurve test) {
    double factor = toReference(test);
    RunCurve curve = RunCurve.of(test, 0, 1, false);
    List<Optional<RunCurve.At>> found = new ArrayList<>();
    List<Optional<Estimate>> over = new ArrayList<>();
    for (Point point : points) {
      Optional<RunCurve.At> at =
          curve.measuredAt(point.liftM()).or(() -> curve.interpolatedAt(point.liftM()));
      found.add(at);
      over.add(at.map(a -> estimate(test, a, point.liftM(), factor * point.flowM3PerS())));
    }
    double[] p = over.stream().mapToDouble(e -> e.map(Estimate::pOfZero).orElse(1.0)).toArray();
    double[] levels = Holm.levels(p, Question.FALSE_CLAIM);
    List<Held> held = new ArrayList<>();
    for (int i = 0; i < p.length; i++) {
      boolean told = p[i] <= levels[i] && over.get(i).isPresent();
      double level = levels[i];
      held.add(
          new Held(
              points.get(i).liftM(),
              factor * points.get(i).flowM3PerS(),
              over.get(i),
              over.get(i).map(e -> e.halfWidth(level)).orElse(0.0),
              found.get(i).map(RunCurve.At::interpolated).orElse(false),
              !told
                  ? Stands.CANNOT_TELL
                  : over.get(i).get().value() > 0 ? Stands.REACHED : Stands.NOT_REACHED));
    }
    return held;
  }

  /** A flow's own budget, and how well the head can be put back where that is known. */
  private static Estimate estimate(TestCurve test, RunCurve.At at, double liftM, double aimed) {
    Budget budget = at.budget();
    double own = budget.standardUncertainty();
    List<Estimate.Part> parts = new ArrayList<>();
    parts.add(new Estimate.Part(own * own, budget.effectiveDegreesOfFreedom()));
    test.repeatability()
        .ifPresent(
            known -> {
              double refixing = known.relativeStandardDeviation(liftM) * at.flow();
              parts.add(new Estimate.Part(refixing * refixing, known.degreesOfFreedom()));
            });
    return Estimate.of(at.flow() - aimed, parts);
  }

  /** By the plain root, as a typed curve is. */
  private double toReference(TestCurve test) {
    return testPressurePa.isPresent()
        ? PressureScaling.ROOT.factor(
            testPressurePa.getAsDouble(),
            test.plan().reference().testPressurePa(),
            test.plan().reference().pressurePa(),
            1.4,
            0)
        : 1;
  }
}
