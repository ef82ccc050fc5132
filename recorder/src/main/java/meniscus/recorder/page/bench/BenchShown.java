package meniscus.recorder.page.bench;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.OrificeElement;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.calibrate.HealthChart;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.recorder.archive.PlateEntry;
import meniscus.recorder.archive.PlateSummary;
import meniscus.recorder.archive.TestArchive;
import meniscus.recorder.file.CalibrationFile;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.upkeep.UpkeepPlace;
import meniscus.recorder.upkeep.UpkeepText;
import meniscus.recorder.upkeep.UsualValues;

/** A bench as Set-up shows it: the file's members, what has been learned, health charts. */
public final class BenchShown {

  private final Bench bench;
  private final Path benchFile;
  private final Unit pressure;
  private final boolean calm;

  /**
   * @param benchFile as it was typed
   * @param calm whether a calm record can be taken
   */
  public BenchShown(Bench bench, Path benchFile, boolean calm) {
    this.benchFile = benchFile;
    this.calm = calm;
    this.bench = bench;
    this.pressure = bench.units().unit(Dimension.PRESSURE);
  }

  public ObjectNode json() throws IOException {
    ObjectNode json = JsonOut.object();
    ObjectNode file = JsonIn.tree(Files.readAllBytes(benchFile));
    file.remove("upkeep");
    json.set("bench", file);
    ObjectNode usual = json.putObject("usual");
    UsualValues.all(bench.units())
        .forEach((task, values) -> values.forEach(usual.withObject("/" + task)::put));
    usual.withObject("/leakage").put("range", UpkeepPlace.smallest(bench).name());
    json.put("pressure_unit", pressure.symbol());
    JsonOut.list(
        json,
        "ranges",
        bench.ranges(),
        (one, range) -> {
          one.put("name", range.name());
          JsonOut.put(one, "bore_m", bore(range.element()), 1);
        });
    json.put("epoch", bench.upkeep().epoch().number()).put("since", since());
    json.put("why", bench.upkeep().epoch().why());
    JsonOut.array(json, "tasks", EpochTasks.open(bench, calm));
    zeros(json.putArray("zeros"));
    leakages(json.putArray("leakages"));
    calibrations(json.putArray("calibrations"));
    json.put("calm", bench.upkeep().calm().map(calm -> calm.at().toString()).orElse(null));
    json.put("calm_can_be_taken", calm);
    json.put("gauges_compared", EpochTasks.gaugesCompared(bench));
    json.put("repeatability", bench.upkeep().repeatability().isPresent());
    ArrayNode from = json.putArray("repeatability_from");
    bench.upkeep().repeatability().stream()
        .flatMap(known -> known.from().stream())
        .forEach(
            series -> {
              ObjectNode one = from.addObject().put("head", series.head());
              one.put("at", series.at().toString());
              JsonOut.array(one, "tests", series.tests());
            });
    health(json.putArray("health"));
    plateReadings(json.putObject("plate_readings"));
    return json;
  }

  private String since() {
    return bench.upkeep().epoch().since().toString();
  }

  /** Bore or throat [m]; NaN for elements without one. */
  private static double bore(FlowElement element) {
    return element.fold(
        OrificeElement::boreM,
        nozzle -> nozzle.throatM(),
        linear -> Double.NaN,
        chart -> Double.NaN,
        fitted -> bore(fitted.base()));
  }

  private void zeros(ArrayNode list) {
    bench
        .upkeep()
        .zeros()
        .forEach(
            (gauge, zero) -> {
              Unit unit = unitOf(gauge);
              list.addObject()
                  .put("gauge", gauge)
                  .put("at", zero.at().toString())
                  .put("offset", UpkeepText.text(zero.offsetSi(), unit))
                  .put("noise", UpkeepText.text(zero.noiseSi(), unit));
            });
  }

  private Unit unitOf(String gauge) {
    boolean lift =
        bench.channels().get(Use.LIFT) instanceof Source.Measured measured
            && measured.key().equals(gauge);
    return lift ? bench.units().unit(Dimension.LENGTH) : pressure;
  }

  private void leakages(ArrayNode list) {
    Unit flow = bench.units().unit(Dimension.VOLUME_FLOW);
    double at = Unit.INCH_OF_WATER.toSi(28);
    for (Leakage leak : bench.upkeep().leakages()) {
      ObjectNode json = list.addObject().put("direction", leak.direction().word());
      json.put("set_up", leak.setUp()).put("at", leak.at().toString());
      json.put(
          "flow",
          (leak.coefficient() > 0
                  ? UpkeepText.text(leak.flowM3PerS(at), flow)
                  : "less than " + UpkeepText.text(leak.limitM3PerS(), flow))
              + " at "
              + UpkeepText.text(at, pressure));
    }
  }

  private void calibrations(ArrayNode list) {
    for (CalibrationRef taken : bench.upkeep().calibrations()) {
      Optional<CalibrationRef> current =
          bench.upkeep().calibration(taken.direction(), taken.range());
      list.addObject()
          .put("direction", taken.direction().word())
          .put("range", taken.range())
          .put("sha256", taken.sha256())
          .put("at", taken.at().toString())
          .put("current", current.map(taken::equals).orElse(false))
          .put("in_use", taken.standing().inUse())
          .put("why", taken.standing().why());
    }
  }

  /** How many mountings of a plate left their readings, and what the newest one read. */
  private void plateReadings(ObjectNode json) {
    List<PlateEntry> plates = TestArchive.of(UpkeepPlace.plateReadings(benchFile)).plates();
    json.put("folders", plates.size());
    if (!plates.isEmpty()) {
      PlateSummary known = plates.get(0).known();
      ObjectNode newest = json.putObject("newest").put("folder", plates.get(0).name());
      newest.put("at", known.at().toString()).put("plate", known.plate().name());
      Unit flow = bench.units().unit(Dimension.VOLUME_FLOW);
      ArrayNode readings = newest.putArray("readings");
      for (PlateSummary.Flow read : known.flows()) {
        ObjectNode one = readings.addObject();
        one.put("at", UpkeepText.text(read.testPressurePa(), pressure));
        one.put("flow", UpkeepText.text(read.m3PerS(), flow));
        read.u95M3PerS().ifPresent(u95 -> one.put("u95", UpkeepText.text(u95, flow)));
      }
    }
  }

  // ------------------------------------------------------------------ health

  private void health(ArrayNode list) throws IOException {
    Map<String, List<HealthEntry>> series = new LinkedHashMap<>();
    for (HealthEntry entry : bench.upkeep().health()) {
      if (entry.epoch() == bench.upkeep().epoch().number()
          && entry.kind() != HealthEntry.Kind.LEVEL) {
        series.computeIfAbsent(title(entry), any -> new ArrayList<>()).add(entry);
      }
    }
    series.forEach((title, entries) -> list.add(chart(title, entries)));
    calibrationsOverTime().forEach(list::add);
  }

  private static String title(HealthEntry entry) {
    String what =
        switch (entry.kind()) {
          case ZERO -> "Zero of ";
          case LEAKAGE -> "Leakage, ";
          case PLATE_CHECK -> "Plate ";
          case CALM_RECORD -> "Calm record ";
          case GAUGES -> "On one pressure: ";
          case LEVEL -> "Level ";
        };
    return what
        + entry.subject()
        + entry.direction().map(way -> ", " + way.word()).orElse("")
        + entry.range().map(range -> ", range " + range).orElse("");
  }

  private ObjectNode chart(String title, List<HealthEntry> entries) {
    HealthEntry first = entries.get(0);
    boolean plate = first.kind() == HealthEntry.Kind.PLATE_CHECK;
    HealthChart.Scale scale = HealthChart.Scale.of(first, bench);
    DoubleUnaryOperator shown = scale.of();
    ObjectNode json = JsonOut.object().put("title", title).put("unit", scale.unit().symbol());
    JsonOut.list(
        json,
        "points",
        entries,
        (point, entry) -> {
          point.put("at", entry.at().toString());
          JsonOut.put(point, "value", shown.applyAsDouble(entry.value()), 1);
          point.put("within", entry.withinLimit()).put("remark", entry.remark());
        });
    ArrayNode lines = json.putArray("lines");
    first
        .limit()
        .ifPresent(limit -> line(lines, "limit", shown.applyAsDouble(first.expected() + limit)));
    // Only a plate has a value that it should have: zeros and leaks are what they are.
    if (plate) {
      HealthChart chart = HealthChart.of(entries);
      for (int sigmas : new int[] {0, 3, -3, 2, -2}) {
        String kind = sigmas == 0 ? "centre" : Math.abs(sigmas) == 2 ? "warning" : "action";
        line(lines, kind, shown.applyAsDouble(chart.line(sigmas)));
      }
      JsonOut.array(
          json, "signals", chart.signals().stream().map(signal -> signal.words()).toList());
      json.put("healthy", chart.healthy()).put("learned", chart.learned());
    } else {
      json.put("healthy", entries.get(entries.size() - 1).withinLimit());
    }
    return json;
  }

  /**
   * Each direction's and range's calibrations one after the other, whatever was done to the bench
   * between them: what each says of the element at the middle of its drops.
   */
  private Collection<ObjectNode> calibrationsOverTime() throws IOException {
    Map<String, ObjectNode> charts = new LinkedHashMap<>();
    for (CalibrationRef taken : bench.upkeep().calibrations()) {
      String title = "Calibration, " + taken.direction().word() + ", range " + taken.range();
      ObjectNode chart =
          charts.computeIfAbsent(
              title,
              any -> {
                ObjectNode json = JsonOut.object().put("title", title).put("unit", "%");
                json.putArray("points");
                json.putArray("lines");
                return json;
              });
      Calibration calibration = CalibrationFile.beside(benchFile, taken.sha256());
      double drop = calibration.element().referenceDropPa();
      double variance =
          calibration.contributions(drop, 1).stream()
              .mapToDouble(one -> Math.pow(one.standardUncertainty() * one.sensitivity(), 2))
              .sum();
      ObjectNode point = chart.withArray("points").addObject().put("at", taken.at().toString());
      JsonOut.put(point, "value", 100 * (calibration.element().correction(drop) - 1), 1);
      JsonOut.put(point, "u95", 196 * Math.sqrt(variance), 1);
      point.put("within", taken.standing().inUse()).put("remark", taken.standing().why());
      chart.put("healthy", taken.standing().inUse());
    }
    return charts.values();
  }

  private static void line(ArrayNode lines, String kind, double value) {
    JsonOut.put(lines.addObject().put("kind", kind), "value", value, 1);
  }
}
