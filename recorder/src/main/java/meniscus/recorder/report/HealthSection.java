package meniscus.recorder.report;

import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import java.util.function.DoubleUnaryOperator;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.calibrate.HealthChart;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.recorder.report.DotChart.Dot;
import meniscus.recorder.report.DotChart.Level;

/** Bench health on paper: the epoch, what is still to be done in it, and the control charts. */
final class HealthSection {

  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("yyyy-MM-dd", Locale.ROOT).withZone(ZoneOffset.UTC);

  private final Markup out;
  private final Bench bench;
  private final boolean calm;

  /**
   * @param calm whether a calm record can be taken on this bench
   */
  HealthSection(Markup out, Bench bench, boolean calm) {
    this.calm = calm;
    this.out = out;
    this.bench = bench;
  }

  void write() {
    out.leaf("h2", "Bench health");
    Epoch epoch = bench.upkeep().epoch();
    out.leaf(
        "p",
        "Epoch "
            + epoch.number()
            + (epoch.equals(Epoch.FIRST) ? "" : " since " + epoch.since())
            + " ("
            + epoch.why()
            + ")."
            + bench
                .upkeep()
                .calm()
                .map(taken -> " Calm record of " + DAY.format(taken.at()) + ".")
                .orElse(calm ? " No calm record yet." : ""));
    List<String> open = EpochTasks.open(bench, calm);
    if (!open.isEmpty()) {
      out.leaf("p", "Still to do in this epoch:").open("ul");
      open.forEach(task -> out.leaf("li", task));
      out.close().line();
    }
    List<HealthChart> charts = HealthChart.all(bench.upkeep());
    if (charts.stream().noneMatch(chart -> kind(chart) == HealthEntry.Kind.PLATE_CHECK)) {
      out.leaf("p", "No plate was checked in this epoch yet: run check from time to time.");
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
    Shown shown = shownAs(chart.entries().get(0));
    String title =
        chart.title().substring(0, 1).toUpperCase(Locale.ROOT) + chart.title().substring(1);
    if (chart.entries().size() == 1) {
      HealthEntry only = chart.entries().get(0);
      out.leaf(
          "p",
          title
              + text(": %.3f ", shown.of().applyAsDouble(only.value()))
              + shown.unit()
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

  /** How a value of the log is shown: as which number, in which unit. */
  private record Shown(DoubleUnaryOperator of, String unit) {}

  private Shown shownAs(HealthEntry entry) {
    return switch (entry.kind()) {
      case PLATE_CHECK -> new Shown(value -> 100 * (value - 1), "%");
      case LEAKAGE -> in(Dimension.VOLUME_FLOW);
      default ->
          bench
                  .source(Use.LIFT)
                  .filter(
                      source ->
                          source.fold(gauge -> gauge.key().equals(entry.subject()), typed -> false))
                  .isPresent()
              ? in(Dimension.LENGTH)
              : in(Dimension.PRESSURE);
    };
  }

  private Shown in(Dimension dimension) {
    Unit unit = bench.units().unit(dimension);
    return new Shown(unit::fromSi, unit.symbol());
  }

  private void chart(HealthChart chart, String title, Shown shown) {
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
              text("%+dσ", sigmas),
              Math.abs(sigmas) == 3 ? "" : "5 4"));
    }
    DotChart.open(
            out,
            "Control chart: " + title,
            "check",
            kind(chart) == HealthEntry.Kind.PLATE_CHECK ? "against calibration, %" : shown.unit(),
            dots,
            levels,
            tick -> tick == Math.rint(tick) && tick >= 1 ? text("%.0f", tick) : "")
        .dots(dots);
    out.leaf(
        "p",
        DAY.format(chart.entries().get(0).at())
            + " to "
            + DAY.format(chart.entries().get(chart.entries().size() - 1).at())
            + ". "
            + (chart.learned()
                ? "Limits learned from the first checks of this epoch (mean moving range / 1.128)."
                : "Too few checks to learn limits: those of the stated uncertainty are drawn."),
        "class",
        "quiet");
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

  private static String text(String format, Object... arguments) {
    return String.format(Locale.ROOT, format, arguments);
  }
}
