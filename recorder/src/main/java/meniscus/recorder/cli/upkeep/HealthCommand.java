package meniscus.recorder.cli.upkeep;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.CalmRef;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.Range;
import meniscus.core.bench.Site;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.calibrate.HealthChart;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Worded;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.archive.PlateEntry;
import meniscus.recorder.archive.TestArchive;
import meniscus.recorder.cli.terminal.AgeText;
import meniscus.recorder.cli.terminal.Answers;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.outlet.OutletState;
import meniscus.recorder.outlet.Outlets;
import meniscus.recorder.report.CalibrationPage;
import meniscus.recorder.upkeep.MovedBench;
import meniscus.recorder.upkeep.UpkeepPlace;
import meniscus.recorder.upkeep.UpkeepRequest;
import meniscus.recorder.upkeep.UpkeepTasks;
import meniscus.recorder.upkeep.WrongRequest;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** {@code health}: bench health, and the changes of the bench. */
@Command(
    name = "health",
    mixinStandardHelpOptions = true,
    description = {
      "Shows bench health: what is still to be done, how old zero, leakage, calibrations and calm",
      "record are, and what the control charts of the checks say. Say here that the bench was moved",
      "or repaired or a gauge changed: then level, zero, leakage, a plate check and a calm record are",
      "asked for again. Nothing that was learned is deleted. The calm record is how much the bench",
      "itself fluctuates, measured on plates; a port's fluctuation is held against it."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus health --bench bench.json",
      "  meniscus health --bench bench.json --changed \"gauge changed\"",
      "  meniscus health --bench bench.json --level",
      "  meniscus health --bench bench.json --another-bench",
      "  meniscus health --bench bench.json --direction suction --range large --report page.html"
    })
public final class HealthCommand implements Callable<Integer> {

  private final Console console;

  @Option(names = "--bench", required = true, paramLabel = "FILE", description = "the bench file")
  private Path bench;

  @Option(
      names = {"--changed", "--new-epoch"},
      paramLabel = "moved|repaired|gauge changed",
      description = "the bench was changed today, and how")
  private Optional<String> newEpoch = Optional.empty();

  @Option(
      names = "--same-bench",
      description = "the bench file was moved or copied, and is still this bench's")
  private boolean same;

  @Option(
      names = "--another-bench",
      description = {
        "the bench file was copied for another bench: it gets an id of its own and learns zero,",
        "leakage and calibration anew; the file as it was stays beside it"
      })
  private boolean another;

  @Option(names = "--level", description = "put on record that the bench stands level")
  private boolean level;

  @Option(
      names = "--report",
      paramLabel = "FILE",
      description = "write a page for printing: the current calibration, and the charts")
  private Optional<Path> report = Optional.empty();

  @Option(
      names = "--direction",
      defaultValue = "suction",
      paramLabel = "suction|blowing",
      description = "of the calibration on the page (default ${DEFAULT-VALUE})")
  private String direction;

  @Option(
      names = "--range",
      paramLabel = "NAME",
      description = "of the calibration on the page (default: the bench's first)")
  private Optional<String> range = Optional.empty();

  @Option(
      names = "--use",
      paramLabel = "SHA256",
      description = {
        "put a calibration in use that is kept aside because nothing makes its readings agree: the",
        "first letters of its version, with --because"
      })
  private Optional<String> use = Optional.empty();

  @Option(
      names = "--because",
      paramLabel = "WHY",
      description = "why that calibration is to be used; kept in the bench file")
  private String because = "";

  @Option(names = "--json", description = "print one JSON object")
  private boolean json;

  public HealthCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    Direction way = direction();
    settleIdentity();
    boolean notes = newEpoch.isPresent() || level;
    Bench read = notes ? BenchFile.atHome(bench) : BenchFile.read(bench);
    Bench known = read;
    if (newEpoch.isPresent()) {
      EpochTasks.Cause cause = cause(newEpoch.get());
      known = known.with(upkeep -> EpochTasks.begin(upkeep, cause, LocalDate.now()));
    }
    if (level) {
      known = known.with(upkeep -> EpochTasks.level(upkeep, Instant.now()));
    }
    if (known != read) {
      BenchFile.write(bench, known);
    }
    if (use.isPresent()) {
      known = used(use.get());
    }
    if (report.isPresent()) {
      Range chosen = range(known);
      WholeFile.write(
          report.get(), CalibrationPage.html(known, calibration(known, way, chosen), calm(known)));
    }
    if (json) {
      console.json(asJson(known));
    } else {
      tell(known);
    }
    return ExitCode.DONE;
  }

  private void settleIdentity() throws IOException {
    if (same && another) {
      throw CommandFailed.usage("the same bench or another one? Give one of the two");
    }
    if (same) {
      MovedBench.same(bench);
    }
    if (another) {
      Path before = MovedBench.another(bench);
      console.warn(
          "it is another bench now, and nothing is learned of it yet; the file as it was is "
              + before
              + ". Give the bench a name of its own in "
              + bench);
    }
  }

  private Bench used(String sha256) throws IOException {
    UpkeepPlace place =
        new UpkeepPlace(
            bench,
            bench.resolveSibling("plates.json"),
            UpkeepPlace.PATHS,
            Drivers.shipped(),
            console.clock());
    try {
      UpkeepTasks.of(
              new UpkeepRequest(
                  "use", Map.of("calibration", List.of(sha256), "use_anyway", List.of(because))),
              place)
          .done(new AtBench(console, new Answers(console), true, Unit.PASCAL))
          .lines()
          .forEach(line -> console.warn(line.text()));
    } catch (WrongRequest e) {
      throw CommandFailed.usage("--use, --because: " + e.getMessage());
    }
    return BenchFile.read(bench);
  }

  private Direction direction() {
    return Worded.named(Direction.values(), direction)
        .orElseThrow(
            () ->
                CommandFailed.usage(
                    "--direction is suction or blowing, not \"" + direction + "\""));
  }

  private Range range(Bench known) {
    try {
      return range.map(known::range).orElseGet(() -> known.ranges().get(0));
    } catch (Refusal e) {
      throw CommandFailed.usage("--range: " + e.getMessage());
    }
  }

  private Calibration calibration(Bench known, Direction way, Range chosen) throws IOException {
    try {
      return UpkeepPlace.calibration(known, bench, way, chosen);
    } catch (WrongRequest e) {
      throw CommandFailed.bench(e.getMessage());
    }
  }

  private static EpochTasks.Cause cause(String word) {
    try {
      return EpochTasks.Cause.of(word);
    } catch (Refusal e) {
      throw CommandFailed.usage("--changed: " + e.getMessage());
    }
  }

  private void tell(Bench known) {
    Epoch epoch = known.upkeep().epoch();
    console.say(
        known.name() + (epoch.afterChange() ? ", " + epoch.words() : ", as first described"));
    List<String> tasks = EpochTasks.open(known, calm(known));
    tasks.forEach(task -> console.say("still to do: " + task));
    if (tasks.isEmpty()) {
      console.say("nothing is left to do" + epoch.sinceThen());
    }
    remarks(known).forEach(console::say);
    OutletState.waiting(Outlets.onDisk(bench)).forEach(console::say);
    known
        .upkeep()
        .zeros()
        .forEach((key, zero) -> console.say("zero of " + key + ": " + old(zero.at())));
    for (Leakage leak : known.upkeep().leakages()) {
      if (known.upkeep().leakage(leak.direction(), leak.setUp()).filter(leak::equals).isPresent()) {
        console.say(
            "leakage on "
                + leak.direction().word()
                + ", "
                + leak.setUp()
                + ": "
                + old(leak.at())
                + (leak.coefficient() > 0 ? "" : ", too small to see"));
      }
    }
    for (CalibrationRef taken : known.upkeep().calibrations()) {
      if (current(known, taken)) {
        console.say(
            "calibration on "
                + taken.direction().word()
                + ", range "
                + taken.range()
                + ": "
                + old(taken.at())
                + (taken.standing().againstAdvice()
                    ? ", in use against advice: " + taken.standing().why()
                    : ""));
      }
    }
    for (CalibrationRef aside : known.upkeep().setAside()) {
      console.say(
          "calibration on "
              + aside.direction().word()
              + ", range "
              + aside.range()
              + ", version "
              + aside.sha256().substring(0, 12)
              + ": kept, but not in use: "
              + aside.standing().why()
              + "; the one before counts, if there is one");
    }
    known
        .upkeep()
        .calm()
        .ifPresent(
            calm ->
                console.say(
                    "calm record (how much the bench itself fluctuates): " + old(calm.at())));
    List<PlateEntry> plates = plateReadings();
    if (!plates.isEmpty()) {
      console.say(
          "raw readings of plates: "
              + plates.size()
              + (plates.size() == 1 ? " folder" : " folders")
              + ", the newest of plate "
              + plates.get(0).known().plate().name()
              + ", "
              + old(plates.get(0).known().at())
              + "; export "
              + UpkeepPlace.plateReadings(bench)
              + " --plates lists them");
    }
    for (HealthChart chart : HealthChart.all(known.upkeep())) {
      console.say(
          chart.title()
              + ": "
              + chart.entries().size()
              + (chart.entries().size() == 1 ? " time, " : " times, ")
              + newest(chart));
    }
  }

  /** Newest first. */
  private List<PlateEntry> plateReadings() {
    return TestArchive.of(UpkeepPlace.plateReadings(bench)).plates();
  }

  /** What can be said of the barometer before anything is read. */
  private static List<String> remarks(Bench known) {
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

  private static String newest(HealthChart chart) {
    return chart.signals().stream()
        .filter(signal -> signal.at() == chart.entries().size() - 1)
        .map(HealthChart.Signal::words)
        .reduce((one, other) -> one + "; " + other)
        .orElse("nothing out of the ordinary");
  }

  private static boolean current(Bench known, CalibrationRef taken) {
    return known
        .upkeep()
        .calibration(taken.direction(), taken.range())
        .filter(taken::equals)
        .isPresent();
  }

  private static String old(Instant at) {
    return AgeText.words(at) + " old";
  }

  private boolean calm(Bench known) {
    return ByEye.calmCanBeTaken(known, bench);
  }

  private ObjectNode asJson(Bench known) {
    ObjectNode object = JsonOut.object();
    Epoch epoch = known.upkeep().epoch();
    object
        .put("epoch", epoch.number())
        .put("since", epoch.since().toString())
        .put("why", epoch.why());
    JsonOut.array(object, "still_to_do", EpochTasks.open(known, calm(known)));
    JsonOut.array(object, "remarks", remarks(known));
    object.put(
        "calm_at", known.upkeep().calm().map(CalmRef::at).map(Instant::toString).orElse(null));
    List<PlateEntry> plates = plateReadings();
    ObjectNode read = object.putObject("plate_readings").put("folders", plates.size());
    if (!plates.isEmpty()) {
      PlateEntry newest = plates.get(0);
      read.putObject("newest")
          .put("folder", UpkeepPlace.plateReadings(bench).resolve(newest.name()).toString())
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
    JsonOut.list(object, "outlets", Outlets.onDisk(bench), (node, outlet) -> outlet.addTo(node));
    return object;
  }
}
