package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.flow.AirSpeed;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Unit;
import meniscus.recorder.json.JsonOut;

/**
 * A point's flow put against the size of its valve and port, so that ports of different size can be
 * held against each other.
 */
final class TestShapes {

  private final Plan plan;
  private final boolean inch;
  private final AirState air;

  TestShapes(Plan plan) {
    this.plan = plan;
    this.inch = plan.units().lift() == Unit.INCH_LENGTH;
    this.air = plan.reference().air();
  }

  /** What the numbers of {@link #addTo} are in. */
  ObjectNode units() {
    return JsonOut.object()
        .put("per_area", plan.units().flow().symbol() + (inch ? " per in²" : " per cm²"))
        .put("area", inch ? "in²" : "mm²")
        .put("velocity", velocityUnit().symbol());
  }

  /**
   * Adds {@code l_over_d}, {@code flow_per_area} and {@code velocity}, each where it is known, with
   * its half-width of 95 %.
   */
  void addTo(ObjectNode json, LiftPoint point) {
    JsonOut.put(json, "effective_area", point.effectiveAreaM2(), areaUnit());
    List<Double> heads = plan.setUp().valveHeadsM();
    double flow = point.flowM3PerS();
    double u95 = point.flowU95().orElse(Double.NaN);
    if (!heads.isEmpty()) {
      // Valves that open together are of one size, near enough for an axis.
      double mean = heads.stream().mapToDouble(d -> d).average().orElseThrow();
      double area = heads.stream().mapToDouble(d -> Math.PI / 4 * d * d).sum();
      double factor = (inch ? Unit.SQUARE_INCH.factor() : 1e-4) / plan.units().flow().factor();
      JsonOut.put(json, "l_over_d", point.liftM() / mean, 1);
      JsonOut.put(json, "flow_per_area", flow / area * factor, 1);
      JsonOut.put(json, "flow_per_area_u95", u95 / area * factor, 1);
    }
    OptionalDouble smallest = plan.setUp().smallestAreaM2();
    if (smallest.isPresent()) {
      double speed = speed(flow, smallest.getAsDouble());
      double faster = speed(flow + u95, smallest.getAsDouble());
      JsonOut.put(json, "velocity", speed / velocityUnit().factor(), 1);
      JsonOut.put(json, "velocity_u95", (faster - speed) / velocityUnit().factor(), 1);
    }
  }

  /** Mean over the smallest section [m/s]; NaN where it would be choked. */
  private double speed(double flowM3PerS, double areaM2) {
    if (!Double.isFinite(flowM3PerS)) {
      return Double.NaN;
    }
    return AirSpeed.inSection(flowM3PerS, areaM2, air.soundSpeed(), air.kappa()).orElse(Double.NaN);
  }

  private Unit areaUnit() {
    return inch ? Unit.SQUARE_INCH : Unit.SQUARE_MILLIMETRE;
  }

  private Unit velocityUnit() {
    return inch ? Unit.FOOT_PER_SECOND : Unit.METRE_PER_SECOND;
  }
}
