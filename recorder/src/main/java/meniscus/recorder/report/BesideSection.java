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
          out.leaf("p", BesideShown.SMALL_PRINT, "class", "quiet").line();
          begun = true;
        }
        write(out, test.name(), table);
      }
    }
  }

  private static void write(Markup out, String test, BesideShown.Table table) {
    out.leaf("h3", table.title() + ": test " + test);
    out.open("table").open("thead").open("tr");
    table.columns().forEach(column -> out.leaf("th", column, "class", "n"));
    out.close().close().open("tbody").line();
    for (List<String> row : table.rows()) {
      out.open("tr");
      row.forEach(cell -> out.leaf("td", cell, "class", "n"));
      out.close().line();
    }
    out.close().close().line();
  }
}
