package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Difference;
import meniscus.core.compare.LiftDifference;
import meniscus.core.finding.Finding;
import meniscus.core.finding.InUnits;
import meniscus.core.quantity.Text;

/**
 * A comparison for the terminal: what changed where, lift by lift, the average of the lifts, the
 * findings.
 */
public final class ComparisonText {

  private ComparisonText() {}

  public static List<String> lines(Comparison comparison) {
    InUnits in = new InUnits(comparison.units());
    List<String> lines = new ArrayList<>();
    lines.add(Sentences.whatChanged(comparison));
    Sentences.turn(comparison).ifPresent(lines::add);
    lines.add("");
    lines.add(
        Text.of("%12s %12s %12s  %-16s  %s", "lift", "before", "after", "outcome", "difference"));
    for (LiftDifference lift : comparison.lifts()) {
      Difference d = lift.difference();
      lines.add(
          Text.of(
              "%12s %12s %12s  %-16s  %s",
              in.lift(lift.liftM()),
              in.flow(d.before(), d.decided().half()),
              in.flow(d.after(), d.decided().half()),
              d.outcome().word(),
              Sentences.detail(d) + (lift.interpolated() ? " (interpolated)" : "")));
    }
    lines.add("");
    lines.add(Sentences.average(comparison));
    lines.add(Sentences.decidable(comparison));
    if (!comparison.scatter().isEmpty()) {
      lines.add("Known how: " + comparison.scatter() + ".");
    }
    addTo(lines, comparison.findings());
    return lines;
  }

  /** Each finding with what speaks for it and what to do. */
  static void addTo(List<String> lines, List<Finding> findings) {
    for (Finding finding : findings) {
      lines.add("");
      lines.add(finding.kind().word().toUpperCase(Locale.ROOT));
      lines.add(finding.sentence());
      finding.evidence().forEach(evidence -> lines.add("  - " + evidence));
      lines.add("  next: " + finding.nextStep());
    }
  }
}
