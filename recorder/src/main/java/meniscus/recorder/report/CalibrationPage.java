package meniscus.recorder.report;

import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.Evidence;
import meniscus.core.bench.FittedElement;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Coverage;
import meniscus.recorder.report.DotChart.Dot;

/**
 * One calibration on a page for printing: result, plates, residuals, where the uncertainty comes
 * from, and the bench's health. One HTML file that needs nothing else, no script.
 */
public final class CalibrationPage {

  static final DateTimeFormatter DAY_AND_MINUTE =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm 'UTC'", Locale.ROOT).withZone(ZoneOffset.UTC);

  private static final double K = Coverage.factor95(Double.POSITIVE_INFINITY);

  private final Markup out = new Markup();
  private final Bench bench;
  private final Calibration calibration;
  private final boolean calm;
  private final FittedElement element;
  private final Evidence evidence;

  private CalibrationPage(Bench bench, Calibration calibration, boolean calm) {
    this.bench = bench;
    this.calm = calm;
    this.calibration = calibration;
    this.element = calibration.element();
    this.evidence = calibration.evidence();
  }

  /**
   * @param bench with its health log
   * @param calibration to be shown
   * @param calm whether a calm record can be taken on this bench
   */
  public static String html(Bench bench, Calibration calibration, boolean calm) {
    CalibrationPage page = new CalibrationPage(bench, calibration, calm);
    page.write();
    return page.out.toString();
  }

  private void write() {
    String title =
        "Calibration of "
            + bench.name()
            + ", range "
            + calibration.range()
            + ", "
            + calibration.direction().word();
    Report.head(out, title);
    out.open("body").line();
    out.leaf("h1", title);
    out.quiet(
        "Taken "
            + DAY_AND_MINUTE.format(calibration.at())
            + (calibration.epoch() < bench.upkeep().epoch().number()
                ? ", before the bench was last changed"
                : "")
            + ". Version "
            + (calibration.id().isEmpty() ? "(not stored)" : calibration.id()));
    answer();
    remarks();
    points();
    plates();
    residuals();
    sources();
    new HealthSection(out, bench, calm).write();
    out.close().line().close().line();
  }

  private void answer() {
    double middle = element.referenceDropPa();
    out.leaf(
        "p",
        Text.of(
            "The flow element passes %+.2f %% against its description, ± %.2f %% (95 %%), in the"
                + " middle of the calibrated drops, which reach from %.0f to %.0f Pa. Beyond them"
                + " flows are marked as extrapolated and their uncertainty grows.",
            100 * (element.correction(middle) - 1),
            100 * halfWidth(0) / element.correction(middle),
            element.lowestDropPa(),
            element.highestDropPa()),
        "class",
        "answer");
  }

  private void remarks() {
    if (!evidence.remarks().isEmpty()) {
      out.open("ul");
      evidence.remarks().forEach(remark -> out.leaf("li", remark));
      out.close().line();
    }
  }

  private void points() {
    out.leaf("h2", "Correction over drop");
    List<String> names = evidence.points().stream().map(Evidence.Point::plate).distinct().toList();
    List<Dot> dots = new ArrayList<>();
    for (Evidence.Point point : evidence.points()) {
      dots.add(
          new Dot(
              Math.log10(point.dropPa()),
              100 * (point.ratio() - 1),
              OptionalDouble.of(100 * K * point.standardUncertainty()),
              names.indexOf(point.plate()),
              evidence.disagreeing().filter(point.plate()::equals).isPresent()));
    }
    double low = Math.log10(element.lowestDropPa());
    double high = Math.log10(element.highestDropPa());
    DotChart.open(
            out,
            "Correction of the flow element over its drop",
            "drop over the flow element, Pa",
            "correction, %",
            dots,
            List.of(),
            tick -> Text.of("%.0f", Math.pow(10, tick)))
        .curve(
            low,
            high,
            x -> 100 * (element.correction(Math.pow(10, x)) - 1),
            x -> 100 * halfWidth(Math.log(Math.pow(10, x) / element.referenceDropPa())))
        .dots(dots);
    out.quiet(
        "Bars and grey band: 95 %. One shape a plate, in the order of the tables; they repeat after"
            + " four. A ring marks a plate that disagrees with the others. Readings that know little"
            + " run off the scale (arrows); the tables have them.");
  }

  private void plates() {
    out.leaf("h2", "Plates, each judged by the others");
    if (evidence.plates().isEmpty()) {
      out.leaf("p", "One plate alone cannot be judged.");
      return;
    }
    table("plate", "passes more by", "± (95 %)", "error over its standard uncertainty");
    for (Evidence.PlateResult plate : evidence.plates()) {
      out.open("tr").leaf("td", plate.plate());
      number("%+.2f %%", 100 * plate.passesMore());
      number("%.2f %%", 100 * K * plate.standardUncertainty());
      number("%+.1f", -plate.score());
      out.close().line();
    }
    out.endTable();
    out.leaf(
        "p",
        Text.of(
            "Left out one by one, the plates are predicted by the others with an error of %.2f %%"
                + " (root mean square).",
            100 * evidence.leaveOneOutError()));
  }

  private void residuals() {
    out.leaf("h2", "Readings and residuals");
    Unit pressure = bench.units().unit(Dimension.PRESSURE);
    table("plate", "test pressure", "drop", "correction", "± (95 %)", "residual");
    for (Evidence.Point point : evidence.points()) {
      out.open("tr").leaf("td", point.plate());
      number("%.2f " + pressure.symbol(), pressure.fromSi(point.testPressurePa()));
      number("%.1f Pa", point.dropPa());
      number("%+.2f %%", 100 * (point.ratio() - 1));
      number("%.2f %%", 100 * K * point.standardUncertainty());
      number("%+.2f %%", 100 * point.residual());
      out.close().line();
    }
    out.endTable();
    out.leaf(
        "p",
        Text.of(
                "χ² %.1f with %d degrees of freedom; a worse one would come by chance in %.0f %% of"
                    + " calibrations.",
                evidence.chiSquare(), evidence.degreesOfFreedom(), 100 * evidence.chanceOfWorse())
            + (evidence.widened() > 1
                ? Text.of(
                    " The points do not go with the curve: the result was widened %.1f times.",
                    evidence.widened())
                : ""));
    StringBuilder curve = new StringBuilder("Correction k = ");
    for (int power = 0; power < element.coefficients().size(); power++) {
      curve.append(
          power == 0
              ? Text.of("%.6f", element.coefficients().get(0))
              : Text.of(" %+.6f x", element.coefficients().get(power))
                  + (power > 1 ? Text.of("^%d", power) : ""));
    }
    curve.append(Text.of(", x = ln(drop / %.1f Pa).", element.referenceDropPa()));
    out.leaf("p", curve.toString());
  }

  private void sources() {
    out.leaf("h2", "Where the uncertainty comes from");
    double middle = element.referenceDropPa();
    Budget budget = new Budget(calibration.contributions(middle, 1));
    Map<String, Double> variances = new LinkedHashMap<>();
    budget
        .largestFirst()
        .forEach(
            part -> variances.merge(part.source(), part.effect() * part.effect(), Double::sum));
    table("source", "standard uncertainty", "share");
    double all = variances.values().stream().mapToDouble(Double::doubleValue).sum();
    variances.entrySet().stream()
        .sorted(Map.Entry.<String, Double>comparingByValue().reversed())
        .forEach(
            entry -> {
              out.open("tr").leaf("td", entry.getKey());
              number("%.3f %%", 100 * Math.sqrt(entry.getValue()));
              number("%.0f %%", all > 0 ? 100 * entry.getValue() / all : 0.0);
              out.close().line();
            });
    out.endTable();
    out.quiet(
        "The share of a gauge cancels where a test reads the same gauge near the same value.");
  }

  /** Half-width of the correction's 95 % interval at x = ln(drop/reference) [1]. */
  private double halfWidth(double x) {
    double variance = 0;
    for (int k = 0; k < element.coefficients().size(); k++) {
      for (int l = 0; l < element.coefficients().size(); l++) {
        variance += element.covariance().get(k).get(l) * Math.pow(x, k + l);
      }
    }
    return K * Math.sqrt(Math.max(0, variance));
  }

  private void table(String first, String... numbers) {
    out.open("table").open("thead").open("tr").leaf("th", first);
    out.numbers("th", List.of(numbers)).close().close().open("tbody").line();
  }

  private void number(String format, double value) {
    out.leaf("td", Text.of(format, value), "class", "n");
  }
}
