package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Plenum;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.PortFlow;
import meniscus.core.bench.PortFlow.Surroundings;
import meniscus.core.bench.Range;
import meniscus.core.budget.InputErrors;
import meniscus.core.budget.Inputs;
import meniscus.core.flow.Direction;
import meniscus.core.flow.EffectiveArea;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;
import meniscus.core.uncertainty.Contribution.Kind;

/**
 * What one reading of a plate says of the flow element: the flow that must have passed it (plate,
 * leak, air stored) over the flow that the uncorrected element tells.
 *
 * @param plate in the head's place
 * @param means of the reading
 * @param value the ratio [1]
 * @param budget of the ratio; errors that several readings share carry a shared id, those of the
 *     calibration's own session too
 */
record CorrectionRatio(Plate plate, PointMeans means, double value, Budget budget) {

  /** Marks ids of errors that stay within the calibration: its plates, its session. */
  static final String OWN = "own: ";

  static CorrectionRatio of(
      Bench bench,
      Range range,
      Direction direction,
      Optional<Leakage> leakage,
      Plate plate,
      PointMeans means) {
    Bridge bridge = new Bridge(bench, range.element(), direction, plate);
    Inputs in = Inputs.of(means);
    double value = bridge.ofMeans(in, leakage, means.effectiveAreaM2());
    List<Contribution> all = new ArrayList<>();
    for (Contribution c :
        InputErrors.contributions(bench, range, direction, leakage, bridge::ratio, in, value)) {
      boolean session = c.sharedId().isEmpty() && c.kind() == Kind.SET_UP;
      all.add(session ? withId(c, OWN + c.source()) : c);
    }
    double repeat = Math.abs(means.flowStandardError() / means.flowM3PerS());
    all.add(
        new Contribution(
            "fluctuation while reading the plates",
            Kind.REPEAT,
            repeat,
            means.flow().degreesOfFreedom(),
            value,
            ""));
    AirState upstream = bridge.upstream(in);
    all.add(ofPlate("plates: each one", plate.ownUncertainty(), value, OWN + plate.name()));
    all.add(
        ofPlate(
            "plates: " + plate.origin(),
            plate.commonUncertainty(),
            value,
            OWN + "origin " + plate.origin()));
    all.add(
        ofPlate(
            "plates: expansion of the air",
            plate.expansionUncertainty(in.testPressurePa(), upstream),
            value,
            OWN + "expansion"));
    return new CorrectionRatio(plate, means, value, new Budget(all));
  }

  private static Contribution ofPlate(String source, double u, double value, String id) {
    return new Contribution(source, Kind.SYSTEMATIC, u, Double.POSITIVE_INFINITY, value, id);
  }

  private static Contribution withId(Contribution c, String id) {
    return new Contribution(
        c.source(), c.kind(), c.standardUncertainty(), c.degreesOfFreedom(), c.sensitivity(), id);
  }

  /** The way from gauges to the ratio. */
  private record Bridge(Bench bench, FlowElement element, Direction direction, Plate plate) {

    double ratio(Inputs in, Optional<Leakage> leak, Optional<Plenum> plenum) {
      PortFlow port = port(leak, plenum);
      double told = told(port, in);
      double besides = told - throughPort(port, in);
      return (passed(port, in) + besides) / told;
    }

    /** The same, with the element's flow as averaged instead of that of the averaged drop. */
    double ofMeans(Inputs in, Optional<Leakage> leak, double areaM2) {
      PortFlow withLeak = port(leak, bench.plenum());
      PortFlow tight = port(Optional.empty(), bench.plenum());
      double told = told(tight, in);
      double stored = told - throughPort(tight, in);
      double averaged =
          EffectiveArea.toMassFlow(areaM2, upstream(in), in.testPressurePa()) + stored;
      return (passed(withLeak, in) + told - throughPort(withLeak, in)) / averaged;
    }

    AirState upstream(Inputs in) {
      return port(Optional.empty(), Optional.empty())
          .portUpstream(in.testPressurePa(), in.surroundings());
    }

    private PortFlow port(Optional<Leakage> leak, Optional<Plenum> plenum) {
      return new PortFlow(element, bench.layout(), direction, leak, plenum);
    }

    private double passed(PortFlow port, Inputs in) {
      return plate.massFlow(
          in.testPressurePa(), port.portUpstream(in.testPressurePa(), in.surroundings()));
    }

    private double told(PortFlow port, Inputs in) {
      Surroundings air = in.surroundings();
      return element.massFlow(
          in.dropPa(), port.elementUpstream(in.dropPa(), in.testPressurePa(), air));
    }

    private double throughPort(PortFlow port, Inputs in) {
      return port.massFlow(
          in.dropPa(), in.testPressurePa(), in.testPressureRate(), in.surroundings());
    }
  }
}
