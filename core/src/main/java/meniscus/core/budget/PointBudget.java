package meniscus.core.budget;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Plenum;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.PortFlow.Surroundings;
import meniscus.core.bench.Range;
import meniscus.core.flow.PressureScaling;
import meniscus.core.flow.ReferenceState;
import meniscus.core.lift.Plan;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;

/** The budget of one point while it is being collected. */
final class PointBudget {

  private final Bench bench;
  private final Plan plan;
  private final Range range;
  private final Optional<Calibration> calibration;
  private final FlowElement element;
  private final Optional<Leakage> leakage;
  private final LiftSetting lift;
  private final ReferenceState reference;
  private final PointMeans means;
  private final List<Contribution> found = new ArrayList<>();

  /**
   * @param test what all points of a test have in common
   * @param means of the point
   */
  PointBudget(FlowBudget test, PointMeans means) {
    this.bench = test.bench();
    this.plan = test.plan();
    this.range = test.range();
    this.calibration = test.calibration();
    this.element = test.element();
    this.leakage = test.leakage();
    this.lift = test.lift();
    this.means = means;
    Plan.Reference asked = plan.reference();
    AirState air = new AirState(asked.temperatureK(), asked.pressurePa(), asked.relativeHumidity());
    this.reference = new ReferenceState(air, asked.testPressurePa());
  }

  List<Contribution> contributions() {
    fluctuation();
    found.addAll(
        InputErrors.contributions(
            bench,
            range,
            plan.direction(),
            leakage,
            this::flow,
            Inputs.of(means),
            means.flowM3PerS()));
    element();
    lift();
    rescaling();
    return List.copyOf(found);
  }

  /** Reported flow of what the gauges show [m³/s]. */
  private double flow(Inputs in, Optional<Leakage> leak, Optional<Plenum> plenum) {
    PortFlow port = port(leak, plenum);
    Surroundings air = in.surroundings();
    double massFlow = port.massFlow(in.dropPa(), in.testPressurePa(), in.testPressureRate(), air);
    return reference.volumeFlow(port.effectiveArea(massFlow, in.testPressurePa(), air));
  }

  private PortFlow port(Optional<Leakage> leak, Optional<Plenum> plenum) {
    return new PortFlow(element, bench.layout(), plan.direction(), leak, plenum);
  }

  private void add(
      String source, Kind kind, double u, double degrees, double sensitivity, String id) {
    if (u > 0 && sensitivity != 0) {
      found.add(new Contribution(source, kind, u, degrees, sensitivity, id));
    }
  }

  private void own(String source, Kind kind, double u, double sensitivity) {
    add(source, kind, u, Double.POSITIVE_INFINITY, sensitivity, "");
  }

  private void fluctuation() {
    if (Double.isFinite(means.flowStandardError())) {
      add(
          "fluctuation of the flow",
          Kind.REPEAT,
          means.flowStandardError(),
          means.flow().degreesOfFreedom(),
          1,
          "");
    }
  }

  private void element() {
    if (means.dropPa() == 0) {
      return;
    }
    Inputs in = Inputs.of(means);
    PortFlow port = port(leakage, bench.plenum());
    Surroundings air = in.surroundings();
    AirState upstream = port.elementUpstream(in.dropPa(), in.testPressurePa(), air);
    double through = element.massFlow(in.dropPa(), upstream);
    double onward = port.massFlow(in.dropPa(), in.testPressurePa(), in.testPressureRate(), air);
    // A share more through the element is more than that share through the port, for it leaks.
    double perShare = means.flowM3PerS() * through / onward;
    if (calibration.isPresent()) {
      found.addAll(calibration.get().contributions(means.dropPa(), perShare));
    } else {
      add(
          "flow element, not calibrated",
          Kind.SYSTEMATIC,
          element.relativeStandardUncertainty(means.dropPa(), upstream),
          Double.POSITIVE_INFINITY,
          perShare,
          "element " + range.name() + " epoch " + bench.upkeep().epoch().number());
    }
  }

  private void lift() {
    OptionalDouble slope = means.slopeM2PerS();
    double at = means.liftM().orElse(0);
    if (slope.isEmpty() && at <= 0) {
      return;
    }
    // Flow rises ever slower with lift, so flow over lift is the steepest it can be.
    double perMetre = slope.orElse(means.flowM3PerS() / at);
    own("lift: reading", Kind.SET_UP, lift.readingUncertaintyM(), perMetre);
    own("lift: zero", Kind.SET_UP, lift.zeroStandardUncertaintyM(), perMetre);
    own("lift: leaning indicator", Kind.SET_UP, lift.tiltUncertaintyM(at), perMetre);
    own("lift: backlash", Kind.SET_UP, lift.backlashUncertaintyM(), perMetre);
  }

  /** Half of what a nozzle-like and a plate-like port would differ by. */
  private void rescaling() {
    double to = plan.reference().testPressurePa();
    double from = means.testPressurePa();
    double upstream = means.room().pressurePa();
    double kappa = means.room().kappa();
    double nozzle = PressureScaling.NOZZLE.factor(from, to, upstream, kappa, 0);
    double plate = PressureScaling.PLATE.factor(from, to, upstream, kappa, 0);
    own(
        "rescaling to the reference test pressure",
        Kind.SET_UP,
        Math.abs(plate / nozzle - 1) / Math.sqrt(3),
        means.flowM3PerS());
  }
}
