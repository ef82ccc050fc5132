package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Difference;
import meniscus.core.compare.LiftDifference;
import meniscus.core.finding.Finding;
import meniscus.core.finding.InUnits;

/** A comparison for the terminal: the whole curve first, then the lifts, then the findings. */
public final class ComparisonText {

  private ComparisonText() {}

  public static List<String> lines(Comparison comparison) {
    InUnits in = new InUnits(comparison.units());
    List<String> lines = new ArrayList<>();
    lines.add(Sentences.wholeCurve(comparison));
    Sentences.byOutcome(comparison).forEach(line -> lines.add("  " + line));
    lines.add("");
    lines.add(
        String.format(
            Locale.ROOT,
            "%12s %12s %12s  %-16s  %s",
            "lift",
            "before",
            "after",
            "outcome",
            "difference"));
    for (LiftDifference lift : comparison.lifts()) {
      Difference d = lift.difference();
      lines.add(
          String.format(
              Locale.ROOT,
              "%12s %12s %12s  %-16s  %s",
              in.lift(lift.liftM()),
              in.flow(d.before(), d.estimate().u95()),
              in.flow(d.after(), d.estimate().u95()),
              d.outcome().word(),
              Sentences.detail(d) + (lift.interpolated() ? " (interpolated)" : "")));
    }
    lines.add("");
    lines.add(Sentences.decidable(comparison));
    if (!comparison.scatter().isEmpty()) {
      lines.add("Known how: " + comparison.scatter() + ".");
    }
    for (Finding finding : comparison.findings()) {
      lines.add("");
      lines.add(finding.kind().word().toUpperCase(Locale.ROOT));
      lines.add(finding.sentence());
      finding.evidence().forEach(evidence -> lines.add("  - " + evidence));
      lines.add("  next: " + finding.nextStep());
    }
    return lines;
  }
}
