package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.finding.InUnits;
import meniscus.core.finding.LouderLifts;
import meniscus.core.finding.OtherWayControl;
import meniscus.core.finding.PressureSweep;
import meniscus.core.finding.SignSearch;
import meniscus.core.finding.SweepDifference;
import meniscus.core.finding.SweepWords;
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
      Comparability comparability,
      Optional<OtherDirection> control) {
    ChangeFindings found = new ChangeFindings(comparison, before, after);
    GainsAndLosses changed = new GainsAndLosses(comparison, after.get(0).plan());
    found.findings.addAll(changed.findings());
    Optional<Turnover> turnover = found.turnovers();
    found.unsteadiness();
    found.sweeps();
    if (comparability.samePressures() && comparability.sameSetUp()) {
      found
          .shortSide(changed.lostHigh(), turnover, control)
          .ifPresent(f -> found.findings.add(0, f));
    }
    found.howItWasCompared(comparability.sameSetUp());
    return found.findings;
  }

  /** Signs of a short side in the last test that were not there in the first one. */
  private Optional<Finding> shortSide(
      List<Double> lostHighM, Optional<Turnover> turnover, Optional<OtherDirection> control) {
    TestCurve first = before.get(0);
    TestCurve last = after.get(after.size() - 1);
    SignSearch search = new SignSearch(last, in);
    search.lost(lostHighM);
    List<Double> fellBefore = earlierTurnover().map(Turnover::fallLiftsM).orElse(List.of());
    turnover.ifPresent(found -> search.turnedOver(found, fellBefore));
    search.rougher(
        freshlyJumping(),
        UnsteadyLifts.risen(first, last),
        UnsteadyLifts.together(first, last, search.lost()));
    search.louder(LouderLifts.together(first, last, search.lost()));
    search.closing();
    List<PressureSweep> sweeps = PressureSweep.in(last, before);
    search.pressure(sweeps);
    search.otherWay(OtherWayControl.in(last, sweeps));
    control.ifPresent(other -> other.tell(search, comparison));
    return search.finding();
  }

  private List<Double> freshlyJumping() {
    List<Double> earlier = UnsteadyLifts.switching(before.get(0));
    return UnsteadyLifts.switching(after.get(after.size() - 1)).stream()
        .filter(lift -> !earlier.contains(lift))
        .toList();
  }

  /** Of an after test; one that was there before all the same is told as well. */
  private Optional<Turnover> turnovers() {
    for (TestCurve test : after) {
      Optional<Turnover> turnover = Turnover.in(test, Turnover.FALSE_ALARM / after.size());
      if (turnover.isPresent()) {
        findings.add(turnover.get().finding(test));
        return turnover;
      }
    }
    earlierTurnover().ifPresent(earlier -> findings.add(earlier.finding(before.get(0))));
    return Optional.empty();
  }

  private Optional<Turnover> earlierTurnover() {
    return before.stream()
        .map(test -> Turnover.in(test, Turnover.FALSE_ALARM / before.size()))
        .flatMap(Optional::stream)
        .findFirst();
  }

  private void unsteadiness() {
    TestCurve first = before.get(0);
    TestCurve last = after.get(after.size() - 1);
    findings.addAll(UnsteadyLifts.changes(first, last));
    if (!freshlyJumping().isEmpty()) {
      UnsteadyLifts.finding(last).ifPresent(findings::add);
    }
  }

  private void sweeps() {
    for (TestCurve test : after) {
      SweepDifference.in(test).ifPresent(found -> findings.add(found.finding(test)));
      findings.addAll(SweepWords.findings(test, before));
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
              "Learn it once for this bench: `meniscus repeat` (on the page Repeatability, under"
                  + " Set-up) leads through six fittings of one head and says first what that costs;"
                  + " tests that you have of one unchanged head feed it with --from. Or record repeats"
                  + " of both sides, each with the head taken off and put back.",
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
