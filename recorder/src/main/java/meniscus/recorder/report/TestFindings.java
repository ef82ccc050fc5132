package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.finding.Finding;
import meniscus.core.finding.SignSearch;
import meniscus.core.finding.SweepDifference;
import meniscus.core.finding.SweepWords;
import meniscus.core.finding.TestDoubts;
import meniscus.core.finding.Turnover;
import meniscus.core.finding.UnsteadyLifts;
import meniscus.core.lift.TestCurve;

/** What tests show by themselves. */
public final class TestFindings {

  private TestFindings() {}

  public static List<Finding> of(List<TestCurve> tests) {
    List<Finding> findings = new ArrayList<>();
    for (TestCurve test : tests) {
      SignSearch.in(test).ifPresent(findings::add);
      Turnover.in(test).ifPresent(found -> findings.add(found.finding(test)));
      SweepDifference.in(test).ifPresent(found -> findings.add(found.finding(test)));
      findings.addAll(SweepWords.findings(test, List.of()));
      UnsteadyLifts.finding(test).ifPresent(findings::add);
      findings.addAll(TestDoubts.of(test));
    }
    return findings;
  }
}
