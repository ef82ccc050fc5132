package meniscus.core.finding;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.decide.Estimate;
import meniscus.core.finding.Cause.Answer;
import meniscus.core.flow.Direction;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestCurve;

/**
 * The suspected lift with the air sent the other way, taken within the test as a control. Air lets
 * go where it must turn, and the other way round it turns elsewhere. Two things are asked, each
 * only where the plan's way shows it: does the flow fall from the lift of the highest flow to the
 * suspected one, and does the flow coefficient fall from the lowest to the highest test pressure?
 *
 * <p>The loss shows too where one of them does at 1 %; it does not where half of what the plan's
 * way loses is excluded at 95 % in one and the other does not show. The rule is that of {@code
 * compare --other-direction}: common practice of the trade, no source.
 *
 * @param liftM suspected [m]
 * @param way that the air was sent
 * @param shows whether it is lost that way too; open where it cannot be told
 * @param told what was compared, with numbers
 */
public record OtherWayControl(double liftM, Direction way, Answer shows, List<String> told) {

  /** Chance that a loss is said to show which does not. */
  private static final double FALSE_ALARM = 0.01;

  public OtherWayControl {
    told = List.copyOf(told);
  }

  /**
   * A loss the plan's way beside the same the other way, as shares.
   *
   * @param told in words
   */
  private record Beside(double here, Estimate other, String told) {
    boolean shows() {
      return other.pOfZeroOrBelow() <= FALSE_ALARM;
    }

    boolean excluded() {
      return other.value() + other.u95() < here / 2;
    }
  }

  /**
   * The controls of a test, one a lift that was confirmed.
   *
   * @param sweeps over test pressure, the plan's way
   */
  public static List<OtherWayControl> in(TestCurve test, List<PressureSweep> sweeps) {
    List<LiftPoint> turned =
        test.points().stream().filter(p -> !p.sweep().plansWay() && TestCurve.trusted(p)).toList();
    List<OtherWayControl> controls = new ArrayList<>();
    for (LiftPoint high : turned) {
      // Its own lowest test pressure was taken before it, at the same lift.
      turned.stream()
          .filter(low -> Lifts.same(low.liftM(), high.liftM()))
          .filter(low -> 2 * low.testPressurePa() < high.testPressurePa())
          .findFirst()
          .ifPresent(low -> controls.add(of(test, sweeps, turned, low, high)));
    }
    return controls;
  }

  private static OtherWayControl of(
      TestCurve test,
      List<PressureSweep> sweeps,
      List<LiftPoint> turned,
      LiftPoint low,
      LiftPoint high) {
    InUnits in = new InUnits(test.plan().units());
    List<Beside> compared = new ArrayList<>();
    turned.stream()
        .filter(p -> Lifts.isBelow(p.liftM(), high.liftM()))
        .forEach(p -> overLift(test, p, high, in).ifPresent(compared::add));
    sweeps.stream()
        .filter(sweep -> Lifts.same(sweep.liftM(), high.liftM()))
        .flatMap(sweep -> overPressure(test, sweep, low, high, in).stream())
        .forEach(compared::add);
    Answer shows = Answer.OPEN;
    if (compared.stream().anyMatch(Beside::shows)) {
      shows = Answer.YES;
    } else if (compared.stream().anyMatch(Beside::excluded)) {
      shows = Answer.NO;
    }
    return new OtherWayControl(
        high.liftM(),
        test.plan().direction().other(),
        shows,
        compared.stream().map(Beside::told).toList());
  }

  private static Optional<Beside> overLift(
      TestCurve test, LiftPoint peak, LiftPoint high, InUnits in) {
    Optional<LiftPoint> peakHere = at(test, peak.liftM());
    Optional<LiftPoint> highHere = at(test, high.liftM());
    if (peakHere.isEmpty() || highHere.isEmpty()) {
      return Optional.empty();
    }
    Estimate here = drop(peakHere.get(), highHere.get());
    if (here.pOfZeroOrBelow() > FALSE_ALARM) {
      return Optional.empty();
    }
    Estimate other = drop(peak, high);
    return Optional.of(
        new Beside(
            here.value(),
            other,
            "flow at "
                + in.lift(high.liftM())
                + " against "
                + in.lift(peak.liftM())
                + beside(test, here.value(), other)));
  }

  private static Optional<Beside> overPressure(
      TestCurve test, PressureSweep sweep, LiftPoint low, LiftPoint high, InUnits in) {
    if (!(sweep.result() instanceof PressureSweep.Breaks breaks)) {
      return Optional.empty();
    }
    SweepFit fit = new SweepFit(test, List.of(low, high));
    Estimate other = fit.fall(throat(test, sweep, fit));
    return Optional.of(
        new Beside(
            breaks.dropAtHighest(),
            other,
            "flow coefficient from "
                + in.pressure(low.testPressurePa())
                + " to "
                + in.pressure(high.testPressurePa())
                + beside(test, breaks.dropAtHighest(), other)));
  }

  /**
   * The throat's m that way: from the smallest section, which is the same both ways, as the plan
   * has it and as a healthy lift showed it the plan's way. Neither knows more than the model does,
   * for no healthy lift was taken that way.
   */
  private static Estimate throat(TestCurve test, PressureSweep stalls, SweepFit fit) {
    List<Estimate> sources = new ArrayList<>();
    test.plan()
        .setUp()
        .smallestAreaM2()
        .ifPresent(area -> sources.add(Throat.of(fit::restAreaM2, area)));
    List<LiftPoint> swept =
        test.points().stream()
            .filter(p -> p.sweep().plansWay() && TestCurve.trusted(p))
            .filter(p -> PressureSweep.ownPressure(test.plan(), p))
            .filter(p -> Lifts.isBelow(p.liftM(), stalls.liftM()))
            .toList();
    double next = swept.stream().mapToDouble(LiftPoint::liftM).max().orElse(0);
    List<LiftPoint> healthy = swept.stream().filter(p -> Lifts.same(p.liftM(), next)).toList();
    if (!healthy.isEmpty()) {
      SweepFit shown = new SweepFit(test, healthy);
      Estimate there = shown.share(Throat.ANY_PORT);
      Estimate here = Throat.of(there, shown.restAreaM2(there.value()), fit::restAreaM2);
      sources.add(
          new Estimate(
              here.value(),
              Math.hypot(here.standardUncertainty(), Throat.MODEL_DOUBT),
              here.degreesOfFreedom()));
    }
    return Throat.agreed(sources).orElse(Throat.ANY_PORT);
  }

  private static String beside(TestCurve test, double here, Estimate other) {
    Direction way = test.plan().direction();
    return ": "
        + InUnits.signedPercent(-here)
        + " "
        + way.word()
        + ", "
        + InUnits.signedPercent(-other.value(), other.u95())
        + " ± "
        + InUnits.half(other.u95())
        + " "
        + way.other().word();
  }

  /** As a share of the lower lift's flow. */
  private static Estimate drop(LiftPoint lower, LiftPoint higher) {
    Estimate drop = Turnover.drop(lower, higher);
    return new Estimate(
        drop.value() / lower.flowM3PerS(),
        drop.standardUncertainty() / lower.flowM3PerS(),
        drop.degreesOfFreedom());
  }

  private static Optional<LiftPoint> at(TestCurve test, double liftM) {
    return test.curve(Sweep.OPENING).stream()
        .filter(p -> TestCurve.trusted(p) && Lifts.same(p.liftM(), liftM))
        .findFirst();
  }

  /** In words. */
  public Finding finding(TestCurve test) {
    String lift = new InUnits(test.plan().units()).lift(liftM);
    String turned = "with the air going the other way (" + way.word() + ")";
    return new Finding(
        Finding.Kind.OTHER_WAY,
        switch (shows) {
          case YES -> "The loss at " + lift + " shows " + turned + " too.";
          case NO -> "The loss at " + lift + " does not show " + turned + ".";
          case OPEN -> "Whether the loss at " + lift + " shows " + turned + " cannot be told.";
        },
        told.isEmpty()
            ? List.of(
                test.plan().direction().word()
                    + " the flow there falls neither against a lower lift nor with test pressure,"
                    + " so there is nothing in this test alone to look for")
            : told,
        switch (shows) {
          case YES ->
              "Look at what is the same both ways: a section that became smaller, the chamber wall"
                  + " beside the valve, the adapter's edge.";
          case NO ->
              "Look at what this way of the air alone meets: the short side, and whether the valve"
                  + " is held rigid.";
          case OPEN ->
              "Test the port the other way before and after the change, and give both to compare"
                  + " --other-direction.";
        },
        List.of(liftM));
  }
}
