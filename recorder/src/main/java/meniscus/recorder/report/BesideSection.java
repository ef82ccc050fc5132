package meniscus.recorder.report;

import java.util.List;
import meniscus.core.lift.TestCurve;

/** The part of a report for what was measured beside the flow; nothing where nothing was. */
final class BesideSection {

  private BesideSection() {}

  static void write(Markup out, List<TestRead> tests) {
    boolean begun = false;
    for (TestRead read : tests) {
      TestCurve test = read.curve();
      for (BesideShown.Table table : BesideShown.tables(test.points(), test.plan().units())) {
        if (!begun) {
          out.leaf("h2", "Beside the flow");
          out.quiet(BesideShown.SMALL_PRINT).line();
          begun = true;
        }
        write(out, test.name(), table);
      }
    }
  }

  private static void write(Markup out, String test, BesideShown.Table table) {
    out.leaf("h3", table.title() + ": test " + test);
    out.table(table.columns());
    table.rows().forEach(out::row);
    out.endTable();
  }
}
