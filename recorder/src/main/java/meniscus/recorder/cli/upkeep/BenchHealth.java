package meniscus.recorder.cli.upkeep;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.CalmRef;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Site;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.calibrate.HealthChart;
import meniscus.recorder.archive.PlateEntry;
import meniscus.recorder.archive.TestArchive;
import meniscus.recorder.cli.terminal.AgeText;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.outlet.OutletState;
import meniscus.recorder.outlet.Outlets;
import meniscus.recorder.upkeep.UpkeepPlace;

/**
 * How a bench stands: what is still to be done, how old what was learned of it is, and what the
 * control charts of its checks say; in lines and as JSON.
 *
 * @param file of the bench
 * @param known what it says
 */
record BenchHealth(Path file, Bench known) {

  List<String> lines() {
    Epoch epoch = known.upkeep().epoch();
    List<String> lines = new ArrayList<>();
    lines.add(known.name() + (epoch.afterChange() ? ", " + epoch.words() : ", as first described"));
    List<String> tasks = EpochTasks.open(known, calmCanBeTaken());
    tasks.forEach(task -> lines.add("still to do: " + task));
    if (tasks.isEmpty()) {
      lines.add("nothing is left to do" + epoch.sinceThen());
    }
    lines.addAll(remarks());
    lines.addAll(OutletState.waiting(Outlets.onDisk(file)));
    known
        .upkeep()
        .zeros()
        .forEach((key, zero) -> lines.add("zero of " + key + ": " + old(zero.at())));
    known.upkeep().leakages().stream()
        .filter(this::current)
        .map(BenchHealth::words)
        .forEach(lines::add);
    known.upkeep().calibrations().stream()
        .filter(this::current)
        .forEach(taken -> lines.add(words(taken)));
    known.upkeep().setAside().forEach(aside -> lines.add(wordsAside(aside)));
    known
        .upkeep()
        .calm()
        .ifPresent(
            calm ->
                lines.add("calm record (how much the bench itself fluctuates): " + old(calm.at())));
    lines.addAll(plateWords());
    HealthChart.all(known.upkeep()).forEach(chart -> lines.add(words(chart)));
    return lines;
  }

  private boolean current(Leakage leak) {
    return known.upkeep().leakage(leak.direction(), leak.setUp()).filter(leak::equals).isPresent();
  }

  private static String words(Leakage leak) {
    return "leakage on "
        + leak.direction().word()
        + ", "
        + leak.setUp()
        + ": "
        + old(leak.at())
        + (leak.coefficient() > 0 ? "" : ", too small to see");
  }

  private boolean current(CalibrationRef taken) {
    return known
        .upkeep()
        .calibration(taken.direction(), taken.range())
        .filter(taken::equals)
        .isPresent();
  }

  private static String of(CalibrationRef taken) {
    return "calibration on " + taken.direction().word() + ", range " + taken.range();
  }

  private static String words(CalibrationRef taken) {
    return of(taken)
        + ": "
        + old(taken.at())
        + (taken.standing().againstAdvice()
            ? ", in use against advice: " + taken.standing().why()
            : "");
  }

  private static String wordsAside(CalibrationRef aside) {
    return of(aside)
        + ", version "
        + aside.sha256().substring(0, 12)
        + ": kept, but not in use: "
        + aside.standing().why()
        + "; the one before counts, if there is one";
  }

  private List<String> plateWords() {
    List<PlateEntry> plates = plateReadings();
    return plates.isEmpty()
        ? List.of()
        : List.of(
            "raw readings of plates: "
                + plates.size()
                + (plates.size() == 1 ? " folder" : " folders")
                + ", the newest of plate "
                + plates.get(0).known().plate().name()
                + ", "
                + old(plates.get(0).known().at())
                + "; export "
                + UpkeepPlace.plateReadings(file)
                + " --plates lists them");
  }

  /** Newest first. */
  private List<PlateEntry> plateReadings() {
    return TestArchive.of(UpkeepPlace.plateReadings(file)).plates();
  }

  private static String words(HealthChart chart) {
    int times = chart.entries().size();
    return chart.title()
        + ": "
        + times
        + (times == 1 ? " time, " : " times, ")
        + chart.signals().stream()
            .filter(signal -> signal.at() == times - 1)
            .map(HealthChart.Signal::words)
            .reduce((one, other) -> one + "; " + other)
            .orElse("nothing out of the ordinary");
  }

  /** What can be said of the barometer before anything is read. */
  private List<String> remarks() {
    Site site = known.site();
    if (site.altitudeM().isEmpty()) {
      return List.of(
          "the bench file has no site.altitude: whether the barometer tells the pressure at the"
              + " bench or at sea level cannot be checked");
    }
    return known
        .source(Use.ROOM_PRESSURE)
        .flatMap(
            source ->
                source.fold(
                    gauge -> Optional.<String>empty(),
                    typed -> site.doubt(site.stationPa(typed.valueSi()))))
        .map(doubt -> List.of("barometer: " + doubt))
        .orElse(List.of());
  }

  private static String old(Instant at) {
    return AgeText.words(at) + " old";
  }

  boolean calmCanBeTaken() {
    return ByEye.calmCanBeTaken(known, file);
  }

  ObjectNode json() {
    ObjectNode object = JsonOut.object();
    Epoch epoch = known.upkeep().epoch();
    object
        .put("epoch", epoch.number())
        .put("since", epoch.since().toString())
        .put("why", epoch.why());
    JsonOut.array(object, "still_to_do", EpochTasks.open(known, calmCanBeTaken()));
    JsonOut.array(object, "remarks", remarks());
    object.put(
        "calm_at", known.upkeep().calm().map(CalmRef::at).map(Instant::toString).orElse(null));
    List<PlateEntry> plates = plateReadings();
    ObjectNode read = object.putObject("plate_readings").put("folders", plates.size());
    if (!plates.isEmpty()) {
      PlateEntry newest = plates.get(0);
      read.putObject("newest")
          .put("folder", UpkeepPlace.plateReadings(file).resolve(newest.name()).toString())
          .put("at", newest.known().at().toString())
          .put("plate", newest.known().plate().name());
    }
    JsonOut.list(
        object,
        "charts",
        HealthChart.all(known.upkeep()),
        (node, chart) -> {
          node.put("of", chart.title())
              .put("checks", chart.entries().size())
              .put("newest", chart.entries().get(chart.entries().size() - 1).value())
              .put("centre", chart.centre())
              .put("sigma", chart.sigma())
              .put("limits_learned", chart.learned())
              .put("healthy", chart.healthy());
          JsonOut.list(
              node,
              "signals",
              chart.signals(),
              (one, signal) ->
                  one.put("check", signal.at() + 1)
                      .put("action", signal.action())
                      .put("words", signal.words()));
        });
    JsonOut.list(object, "outlets", Outlets.onDisk(file), (node, outlet) -> outlet.addTo(node));
    return object;
  }
}
