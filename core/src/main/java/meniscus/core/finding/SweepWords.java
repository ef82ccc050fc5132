package meniscus.core.finding;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import meniscus.core.finding.PressureSweep.Breaks;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;

/** A pressure sweep in words. */
public record SweepWords(PressureSweep sweep, InUnits in) {

  /**
   * What the sweeps over test pressure of a test say, and their controls the other way.
   *
   * @param earlier runs of the same port
   */
  public static List<Finding> findings(TestCurve test, List<TestCurve> earlier) {
    List<PressureSweep> sweeps = PressureSweep.in(test, earlier);
    InUnits in = new InUnits(test.plan().units());
    return Stream.concat(
            sweeps.stream()
                .filter(PressureSweep::worthTelling)
                .map(sweep -> new SweepWords(sweep, in).finding(test.plan())),
            OtherWayControl.in(test, sweeps).stream().map(control -> control.finding(test)))
        .toList();
  }

  private Finding finding(Plan plan) {
    return new Finding(
        Finding.Kind.PRESSURE_SWEEP,
        sentence(),
        evidence(plan),
        nextStep(),
        List.of(sweep.liftM()));
  }

  String sentence() {
    String where = "Pressure sweep at " + in.lift(sweep.liftM()) + ": ";
    return sweep
        .result()
        .fold(
            constant ->
                where
                    + "the flow coefficient does not fall (by less than "
                    + InUnits.percent(constant.lessThan())
                    + "), so no limit of air speed shows.",
            breaks -> where + falls(breaks),
            notTold -> where + "cannot tell, because " + notTold.reason() + ".");
  }

  /** The speed first where it is known: it is what a porter can act on. */
  private String falls(Breaks breaks) {
    String pressure =
        in.pressure(breaks.atPa())
            + " (between "
            + in.pressure(breaks.lowPa())
            + " and "
            + in.pressure(breaks.highPa())
            + ")";
    String beyond = "beyond " + pressure;
    if (breaks.velocityMPerS().isPresent()) {
      double low = breaks.lowMPerS().orElseThrow();
      double high = breaks.highMPerS().orElseThrow();
      beyond =
          "beyond an air speed of "
              + in.velocity(breaks.velocityMPerS().getAsDouble(), (high - low) / 2)
              + " at the smallest section, "
              + pressure;
    }
    return "the flow coefficient falls "
        + beyond
        + ", by "
        + InUnits.percent(breaks.dropAtHighest())
        + " at the highest test pressure.";
  }

  private String nextStep() {
    return sweep
        .result()
        .fold(
            constant ->
                "Look at what stays the same at every test pressure: a smaller section further on,"
                    + " the chamber wall beside the valve, the adapter's edge. If the loss is at"
                    + " another lift, sweep the pressure there.",
            breaks ->
                sweep.hysteresisPa().isEmpty()
                    ? "Lay a smooth clay fillet over the short side and sweep again: if the fall"
                        + " goes, it was the short side."
                    : "The air comes back later than it left, which speaks for a flow that lets"
                        + " go. Lay a smooth clay fillet over the short side and sweep again.",
            notTold -> notTold.remedy() + " Then sweep again.");
  }

  private List<String> evidence(Plan plan) {
    List<String> evidence = new ArrayList<>();
    List<Double> pressures = sweep.pressuresPa();
    evidence.add(
        pressures.size()
            + " readings from "
            + in.pressure(pressures.get(0))
            + " to "
            + in.pressure(pressures.get(pressures.size() - 1)));
    sweep
        .result()
        .fold(
            constant -> List.<String>of(), breaks -> velocity(breaks), notTold -> List.<String>of())
        .forEach(evidence::add);
    if (!sweep.hysteresisPa().isEmpty()) {
      evidence.add(
          "on the way down it flows less than on the way up at "
              + String.join(", ", sweep.hysteresisPa().stream().map(in::pressure).toList()));
    }
    if (plan.setUp().spring().isEmpty()) {
      evidence.add(
          "the checking spring is not described: whether the test pressure moved the valve is not"
              + " known");
    }
    return evidence;
  }

  private List<String> velocity(Breaks breaks) {
    return breaks.velocityMPerS().isEmpty()
        ? List.of("the port's smallest area is not in the plan: no air speed can be given")
        : List.of(
            "mean velocity at the smallest section between "
                + in.velocity(breaks.lowMPerS().orElseThrow())
                + " and "
                + in.velocity(breaks.highMPerS().orElseThrow())
                + " (95 %)");
  }
}
