package meniscus.recorder.report;

import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.HealthEntry;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.calibrate.HealthChart;
import meniscus.core.calibrate.HealthChart.Scale;
import meniscus.core.quantity.Text;
import meniscus.recorder.report.DotChart.Dot;
import meniscus.recorder.report.DotChart.Level;

/**
 * Bench health on paper: the epoch, what is still to be done in it, and the control charts.
 *
 * @param calm whether a calm record can be taken on this bench
 */
record HealthSection(Markup out, Bench bench, boolean calm) {
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("yyyy-MM-dd", Locale.ROOT).withZone(ZoneOffset.UTC);

  void write() {
    out.leaf("h2", "Bench health");
    Epoch epoch = bench.upkeep().epoch();
    out.leaf(
        "p",
        (epoch.afterChange() ? "The bench was " + epoch.words() + "." : "As first described.")
            + bench
                .upkeep()
                .calm()
                .map(
                    taken ->
                        " Calm record (how much the bench itself fluctuates, on plates): "
                            + DAY.format(taken.at())
                            + ".")
                .orElse(
                    calm
                        ? " No calm record (how much the bench itself fluctuates, on plates) yet."
                        : ""));
    List<String> open = EpochTasks.open(bench, calm);
    if (!open.isEmpty()) {
      out.leaf("p", "Still to do" + epoch.sinceThen() + ":").open("ul");
      open.forEach(task -> out.leaf("li", task));
      out.close().line();
    }
    List<HealthChart> charts = HealthChart.all(bench.upkeep());
    if (charts.stream().noneMatch(chart -> kind(chart) == HealthEntry.Kind.PLATE_CHECK)) {
      out.leaf(
          "p", "No plate was checked" + epoch.sinceThen() + " yet: run check from time to time.");
    }
    for (HealthEntry.Kind kind :
        List.of(HealthEntry.Kind.PLATE_CHECK, HealthEntry.Kind.ZERO, HealthEntry.Kind.LEAKAGE)) {
      charts.stream().filter(chart -> kind(chart) == kind).forEach(this::shown);
    }
  }

  private static HealthEntry.Kind kind(HealthChart chart) {
    return chart.entries().get(0).kind();
  }

  /** One value is said, more are drawn. */
  private void shown(HealthChart chart) {
    Scale shown = Scale.of(chart.entries().get(0), bench);
    String title =
        chart.title().substring(0, 1).toUpperCase(Locale.ROOT) + chart.title().substring(1);
    if (chart.entries().size() == 1) {
      HealthEntry only = chart.entries().get(0);
      out.leaf(
          "p",
          title
              + Text.of(": %.3f ", shown.of().applyAsDouble(only.value()))
              + shown.unit().symbol()
              + ", "
              + DAY.format(only.at())
              + (only.remark().isBlank() ? "." : " (" + only.remark() + ")."));
      return;
    }
    out.open("div", "class", "together").line();
    out.leaf("h3", title);
    chart(chart, title, shown);
    out.close().line();
  }

  private void chart(HealthChart chart, String title, Scale shown) {
    List<Dot> dots = new ArrayList<>();
    for (int i = 0; i < chart.entries().size(); i++) {
      int at = i;
      dots.add(
          new Dot(
              i + 1,
              shown.of().applyAsDouble(chart.entries().get(i).value()),
              OptionalDouble.empty(),
              0,
              chart.signals().stream().anyMatch(signal -> signal.at() == at)));
    }
    List<Level> levels = new ArrayList<>();
    levels.add(new Level(shown.of().applyAsDouble(chart.centre()), "centre", ""));
    for (int sigmas : new int[] {-3, -2, 2, 3}) {
      levels.add(
          new Level(
              shown.of().applyAsDouble(chart.line(sigmas)),
              Text.of("%+dσ", sigmas),
              Math.abs(sigmas) == 3 ? "" : "5 4"));
    }
    DotChart.open(
            out,
            "Control chart: " + title,
            "check",
            kind(chart) == HealthEntry.Kind.PLATE_CHECK
                ? "against calibration, %"
                : shown.unit().symbol(),
            dots,
            levels,
            tick -> tick == Math.rint(tick) && tick >= 1 ? Text.of("%.0f", tick) : "")
        .dots(dots);
    out.quiet(
        DAY.format(chart.entries().get(0).at())
            + " to "
            + DAY.format(chart.entries().get(chart.entries().size() - 1).at())
            + ". "
            + (chart.learned()
                ? "Limits learned from the first checks"
                    + bench.upkeep().epoch().sinceThen()
                    + " (mean moving range / 1.128)."
                : "Too few checks to learn limits: those of the stated uncertainty are drawn."));
    if (!chart.signals().isEmpty()) {
      out.open("ul");
      chart
          .signals()
          .forEach(
              signal ->
                  out.leaf(
                      "li",
                      "check "
                          + (signal.at() + 1)
                          + ", "
                          + CalibrationPage.DAY_AND_MINUTE.format(
                              chart.entries().get(signal.at()).at())
                          + ": "
                          + signal.words()));
      out.close().line();
    }
  }
}
