package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.finding.InUnits;
import meniscus.core.finding.PressureSweep;
import meniscus.core.finding.ShortSideFinding;
import meniscus.core.finding.ShortSideFinding.Sign;
import meniscus.core.finding.SweepDifference;
import meniscus.core.finding.Turnover;
import meniscus.core.finding.UnsteadyLifts;
import meniscus.core.lift.TestCurve;

/** What a comparison shows beyond its table, most telling first. */
final class ChangeFindings {

  private final Comparison comparison;
  private final List<TestCurve> before;
  private final List<TestCurve> after;
  private final InUnits in;
  private final List<Finding> findings = new ArrayList<>();
  private final List<Sign> signs = new ArrayList<>();

  private ChangeFindings(Comparison comparison, List<TestCurve> before, List<TestCurve> after) {
    this.comparison = comparison;
    this.before = before;
    this.after = after;
    this.in = new InUnits(comparison.units());
  }

  static List<Finding> of(
      Comparison comparison,
      List<TestCurve> before,
      List<TestCurve> after,
      Comparability comparability) {
    ChangeFindings found = new ChangeFindings(comparison, before, after);
    found.gainedBelowLostAbove();
    found.turnovers();
    found.unsteadiness();
    found.sweeps();
    boolean fair = comparability.samePressures() && comparability.sameSetUp();
    if (fair) {
      new ShortSideFinding(found.signs).finding(found.in).ifPresent(f -> found.findings.add(0, f));
    }
    found.howItWasCompared(comparability.sameSetUp());
    return found.findings;
  }

  private void gainedBelowLostAbove() {
    List<Double> gains = comparison.lifts(Outcome.GAIN);
    List<Double> losses =
        comparison.lifts(Outcome.LOSS).stream()
            .filter(lift -> !gains.isEmpty() && lift > gains.get(0))
            .toList();
    if (losses.isEmpty()) {
      return;
    }
    String told = "flow gained at " + in.lifts(gains) + " and lost at " + in.lifts(losses);
    List<String> evidence =
        List.of("largest gain: " + largest(gains, 1), "largest loss: " + largest(losses, -1));
    findings.add(
        new Finding(
            Kind.GAINED_BELOW_LOST_ABOVE,
            "Flow gained below, lost above: gain up to "
                + in.lift(gains.get(gains.size() - 1))
                + ", loss from "
                + in.lift(losses.get(0))
                + " on.",
            evidence,
            "See how long the valve spends at each lift before calling this a gain or a loss; look"
                + " at the short side first.",
            losses));
    signs.add(new Sign(ShortSideFinding.Kind.GAINED_BELOW_LOST_ABOVE, told, losses));
  }

  /** The lift with the largest difference of one sign. */
  private String largest(List<Double> lifts, int sign) {
    LiftDifference largest =
        comparison.lifts().stream()
            .filter(lift -> lifts.contains(lift.liftM()))
            .max(Comparator.comparingDouble(lift -> sign * lift.difference().relative()))
            .orElseThrow();
    Difference d = largest.difference();
    return InUnits.signedPercent(d.relative())
        + " ± "
        + InUnits.percent(d.estimate().u95() / d.before())
        + " at "
        + in.lift(largest.liftM());
  }

  private void turnovers() {
    double chance = Turnover.FALSE_ALARM / after.size();
    Optional<Turnover> earlier =
        before.stream()
            .map(t -> Turnover.in(t, Turnover.FALSE_ALARM / before.size()))
            .flatMap(Optional::stream)
            .findFirst();
    for (TestCurve test : after) {
      Optional<Turnover> turnover = Turnover.in(test, chance);
      if (turnover.isPresent()) {
        findings.add(turnover.get().finding(test));
        List<Double> fresh =
            turnover.get().fallLiftsM().stream()
                .filter(l -> earlier.isEmpty() || !earlier.get().fallLiftsM().contains(l))
                .toList();
        if (!fresh.isEmpty()) {
          signs.add(
              new Sign(
                  ShortSideFinding.Kind.TURNED_OVER,
                  "the flow falls with more lift at "
                      + in.lifts(fresh)
                      + ", which it did not before",
                  fresh));
        }
        return;
      }
    }
    if (earlier.isPresent()) {
      findings.add(earlier.get().finding(before.get(0)));
    }
  }

  private void unsteadiness() {
    TestCurve first = before.get(0);
    TestCurve last = after.get(after.size() - 1);
    findings.addAll(UnsteadyLifts.changes(first, last));
    List<Double> risen = UnsteadyLifts.risen(first, last);
    if (!risen.isEmpty()) {
      signs.add(
          new Sign(
              ShortSideFinding.Kind.UNSTEADY,
              "the air became rougher at " + in.lifts(risen),
              risen));
    }
    List<Double> jumping =
        UnsteadyLifts.switching(last).stream()
            .filter(lift -> !UnsteadyLifts.switching(first).contains(lift))
            .toList();
    if (!jumping.isEmpty()) {
      UnsteadyLifts.finding(last).ifPresent(findings::add);
      signs.add(
          new Sign(
              ShortSideFinding.Kind.TWO_LEVELS,
              "the flow jumps between levels at " + in.lifts(jumping),
              jumping));
    }
  }

  private void sweeps() {
    for (TestCurve test : after) {
      SweepDifference.in(test)
          .ifPresent(
              difference -> {
                findings.add(difference.finding(test));
                if (difference.closingFlowsLess()) {
                  signs.add(
                      new Sign(
                          ShortSideFinding.Kind.LATE_RECOVERY,
                          "the closing sweep flows less than the opening one",
                          difference.differing()));
                }
              });
      for (PressureSweep sweep : PressureSweep.in(test)) {
        findings.add(sweep.finding(test));
        if (sweep.result() instanceof PressureSweep.Breaks breaks) {
          signs.add(
              new Sign(
                  ShortSideFinding.Kind.PRESSURE_BREAKPOINT,
                  "at "
                      + in.lift(sweep.liftM())
                      + " the flow coefficient falls beyond "
                      + in.pressure(breaks.atPa()),
                  List.of(sweep.liftM())));
        }
      }
    }
  }

  private void howItWasCompared(boolean sameSetUp) {
    if (!sameSetUp) {
      comparison.question().despite().ifPresent(this::overridden);
    }
    if (!comparison.mean().scatterKnown()) {
      findings.add(
          new Finding(
              Kind.REPEATABILITY,
              "Nobody has measured how well a head can be put back on this bench, so no gain or loss"
                  + " can be told from one run a side; the intervals leave that part out.",
              List.of(
                  "the number of repeats is counted with a guessed scatter of "
                      + InUnits.percent(Columns.GUESSED_SCATTER)
                      + " from fitting to fitting"),
              "Take one head off and put it back six times, recording it each time, and store the"
                  + " bench's repeatability; or record repeats of both sides, each with the head"
                  + " taken off and put back.",
              List.of()));
    }
    List<Double> apart = comparison.left().stream().map(Comparison.LeftOut::liftM).toList();
    if (!apart.isEmpty()) {
      findings.add(
          new Finding(
              Kind.LIFTS_NOT_IN_COMMON,
              "Not compared: " + in.lifts(apart) + ".",
              comparison.left().stream().map(l -> in.lift(l.liftM()) + ": " + l.reason()).toList(),
              "Test the same lifts on both sides, or compare with --interpolate.",
              apart));
    }
    List<Double> interpolated =
        comparison.lifts().stream()
            .filter(LiftDifference::interpolated)
            .map(LiftDifference::liftM)
            .toList();
    if (!interpolated.isEmpty()) {
      findings.add(
          new Finding(
              Kind.LIFTS_NOT_IN_COMMON,
              "At " + in.lifts(interpolated) + " one side was interpolated between its own lifts.",
              List.of("the interval holds the uncertainty of having interpolated"),
              "Test the same lifts on both sides.",
              interpolated));
    }
  }

  private void overridden(String reason) {
    findings.add(
        new Finding(
            Kind.OVERRIDDEN,
            "Compared although the set-ups differ, at the operator's word.",
            List.of("reason given: " + reason),
            "Repeat one of the tests with the other's set-up to be sure.",
            List.of()));
  }
}
