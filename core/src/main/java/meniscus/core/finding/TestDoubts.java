package meniscus.core.finding;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.remark.Remark;
import meniscus.core.remark.RemarkText;

/** What to know of one test before anything is concluded from it. */
public final class TestDoubts {

  private TestDoubts() {}

  public static List<Finding> of(TestCurve test) {
    List<Finding> findings = new ArrayList<>();
    health(test, findings);
    valve(test, findings);
    calibration(test, findings);
    points(test, findings);
    return findings;
  }

  private static void health(TestCurve test, List<Finding> findings) {
    if (!test.health().isEmpty()) {
      findings.add(
          new Finding(
              Kind.BENCH_HEALTH,
              "The bench was not in order when \"" + test.name() + "\" was taken.",
              test.health(),
              "Put the bench in order, check a plate, then repeat the test.",
              List.of()));
    }
  }

  private static void valve(TestCurve test, List<Finding> findings) {
    List<LiftPoint> moved =
        test.curve().stream().filter(p -> PressureSweep.valveMoves(test.plan(), p)).toList();
    if (!moved.isEmpty()) {
      InUnits in = new InUnits(test.plan().units());
      List<Double> lifts = moved.stream().map(LiftPoint::liftM).toList();
      findings.add(
          new Finding(
              Kind.VALVE_MAY_HAVE_MOVED,
              "In \""
                  + test.name()
                  + "\" the test pressure may have moved the valve at "
                  + in.lifts(lifts)
                  + ": nothing is called there.",
              moved.stream()
                  .map(
                      p ->
                          in.lift(p.liftM())
                              + ": what opens the valve is "
                              + InUnits.number(PressureSweep.forceTooMuchN(test.plan(), p), 1)
                              + " N more than the checking spring holds")
                  .toList(),
              "Fit a stronger checking spring or lower the test pressure, and take these lifts"
                  + " again.",
              lifts));
    }
  }

  private static void calibration(TestCurve test, List<Finding> findings) {
    InUnits in = new InUnits(test.plan().units());
    List<String> evidence = new ArrayList<>();
    List<Double> lifts = new ArrayList<>();
    for (LiftPoint point : test.curve()) {
      List<String> said = sentences(point, Remark.Weight.BEYOND_CALIBRATION);
      if (!said.isEmpty()) {
        lifts.add(point.liftM());
        evidence.add(in.lift(point.liftM()) + ": " + String.join("; ", said));
      }
    }
    if (!lifts.isEmpty()) {
      findings.add(
          new Finding(
              Kind.OUTSIDE_THE_CALIBRATION,
              "In \""
                  + test.name()
                  + "\" some flows lie outside what the bench was calibrated for.",
              evidence,
              "Choose the range that covers these flows, or calibrate with a plate that reaches"
                  + " them, and take these lifts again.",
              lifts));
    }
  }

  private static void points(TestCurve test, List<Finding> findings) {
    InUnits in = new InUnits(test.plan().units());
    List<String> doubts = new ArrayList<>();
    List<Double> lifts = new ArrayList<>();
    for (LiftPoint point : test.curve()) {
      List<String> why = new ArrayList<>();
      if (!point.verdict().sound()) {
        why.add("verdict " + point.verdict().word());
        point.remarks().stream().limit(1).map(RemarkText::sentence).forEach(why::add);
      } else {
        why.addAll(sentences(point, Remark.Weight.DOUBT));
      }
      if (!why.isEmpty()) {
        lifts.add(point.liftM());
        doubts.add(in.lift(point.liftM()) + ": " + String.join("; ", why));
      }
    }
    if (!doubts.isEmpty()) {
      findings.add(
          new Finding(
              Kind.POINTS_TO_DOUBT,
              "In \"" + test.name() + "\" some points carry remarks.",
              doubts,
              "Read all remarks in points.csv; take these lifts again where they matter.",
              lifts));
    }
  }

  private static List<String> sentences(LiftPoint point, Remark.Weight weight) {
    return point.remarks().stream()
        .filter(remark -> remark.weight() == weight)
        .map(RemarkText::sentence)
        .toList();
  }

  /** What not to forget where metal was taken off, before more is. */
  public static List<Finding> cautions(TestCurve test) {
    List<Plan.ChangeNote> changes = test.plan().changes();
    if (changes.isEmpty()) {
      return List.of();
    }
    InUnits in = new InUnits(test.plan().units());
    List<Plan.ChangeNote> tooLittle =
        changes.stream().filter(c -> c.left().filter(Plan.Left::tooLittle).isPresent()).toList();
    if (!tooLittle.isEmpty()) {
      return List.of(
          new Finding(
              Kind.CAUTION,
              "Less metal is left than was to stay.",
              tooLittle.stream()
                  .map(c -> c.what() + ": " + left(c.left().orElseThrow(), in))
                  .toList(),
              "Take nothing more off there. Ask the engine maker's figures and a qualified machinist"
                  + " whether the part may still be used.",
              List.of()));
    }
    return List.of(
        new Finding(
            Kind.CAUTION,
            "A flow bench does not see how much metal is left, nor how soon a shortened guide wears"
                + " valve and seat.",
            changes.stream()
                .map(c -> c.what() + c.left().map(left -> ": " + left(left, in)).orElse(""))
                .toList(),
            "Before more is taken off, measure the walls to water jackets, oil and bolts, and the"
                + " length of the guides, and note what is left. The engine maker's limits and a"
                + " qualified machinist stand above any figure here.",
            List.of()));
  }

  private static String left(Plan.Left left, InUnits in) {
    return in.lift(left.metres())
        + " left"
        + (left.atLeastM().isPresent()
            ? ", at least " + in.lift(left.atLeastM().getAsDouble()) + " were to stay"
            : "");
  }
}
