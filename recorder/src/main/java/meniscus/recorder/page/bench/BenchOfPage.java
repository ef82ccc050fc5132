package meniscus.recorder.page.bench;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Collectors;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.ChannelMatch;
import meniscus.core.bench.Source;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Zero;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.quantity.Worded;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.feed.BoundInstrument;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.CalibrationFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.PlatesFile;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.upkeep.MovedBench;

/**
 * The bench file that the page works with, and the plates file beside it; read anew each time, for
 * text editors work too.
 */
public final class BenchOfPage {

  /** The built-in bench and a plan for it, as the demo has them. */
  private static final String SIMULATED = "/meniscus/recorder/demo/";

  private final Path file;
  private final Path data;
  private final Drivers drivers;

  public BenchOfPage(Path file, Path data, Drivers drivers) {
    this.file = file;
    this.data = data;
    this.drivers = drivers;
  }

  /**
   * @throws Refused when there is none yet
   */
  public Path file() throws HttpError {
    if (!Files.exists(file)) {
      throw HttpError.notNow("there is no bench file " + file + " yet: make one under Set-up");
    }
    return file;
  }

  /** Where the bench file is, or will be. */
  public Path place() {
    return file;
  }

  /**
   * @throws Refused when there is none yet
   * @throws FileNotAccepted when it is not in order
   */
  public Bench bench() throws HttpError {
    return BenchFile.read(file());
  }

  /** Names that belong to the bench, whether the files are there yet or not. */
  public Set<Path> ownFiles() {
    return Set.of(file, platesFile());
  }

  public Path platesFile() {
    return file.resolveSibling("plates.json");
  }

  /** The plates file as it stands, for changing it. */
  public Optional<JsonNode> platesJson() throws IOException {
    return Files.exists(platesFile())
        ? Optional.of(JsonIn.tree(Files.readAllBytes(platesFile())).path("plates"))
        : Optional.empty();
  }

  /** A calibration that the bench file lists. */
  public Calibration calibration(String sha256) throws HttpError, IOException {
    boolean listed =
        bench().upkeep().calibrations().stream().anyMatch(each -> each.sha256().equals(sha256));
    if (!listed) {
      throw HttpError.unknown("the bench has no such calibration");
    }
    try {
      return CalibrationFile.beside(file, sha256);
    } catch (FileNotAccepted e) {
      throw HttpError.unknown(e.getMessage());
    }
  }

  /** Units of its owner. */
  public UnitSystem units() throws HttpError {
    return bench().units();
  }

  /** True when every instrument is simulated; false when the bench cannot be read. */
  public boolean simulated() {
    try {
      return Feeds.isSimulated(Feeds.wire(BenchFile.read(file), file, drivers));
    } catch (FileNotAccepted | Refusal e) {
      return false;
    }
  }

  /** How the bench stands, in short. */
  public ObjectNode json() {
    ObjectNode json = JsonOut.object().put("file", file.getFileName().toString());
    if (!Files.exists(file)) {
      return json.put("stands", "missing");
    }
    try {
      Bench bench = BenchFile.read(file);
      json.put("stands", "ready").put("name", bench.name()).put("simulated", simulated());
      json.put("elsewhere", BenchFile.isElsewhere(file, bench));
      JsonOut.list(
          json,
          "instruments",
          bench.instruments(),
          (node, instrument) -> node.put("id", instrument.id()).put("sheet", instrument.sheet()));
      return json;
    } catch (FileNotAccepted | Refusal e) {
      return json.put("stands", "refused").put("why", String.valueOf(e.getMessage()));
    }
  }

  // ------------------------------------------------------------------ writing

  /**
   * Says of a bench whose file was moved or copied whether it is the same one.
   *
   * @return what is worth telling of it
   */
  public String settle(boolean same) throws HttpError, IOException {
    if (!BenchFile.isElsewhere(file(), bench())) {
      throw HttpError.notNow("the bench is at home here; nothing was written");
    }
    if (same) {
      MovedBench.same(file);
      return "its file is at home here as well";
    }
    return "it is another bench now, and nothing is learned of it yet; the file as it was is "
        + MovedBench.another(file).getFileName()
        + ". Give it a name of its own";
  }

  /**
   * Writes the bench as the page describes it. What was learned of it stays; the zero of a gauge
   * that is gone does not.
   *
   * @param json without {@code upkeep}
   * @param cause of a new epoch; empty when the bench is the same as before
   * @throws FileNotAccepted saying what is wrong, where, and what to do
   */
  public void write(JsonNode json, String cause) throws HttpError, IOException {
    if (json.has("upkeep")) {
      throw HttpError.wrong("\"upkeep\" is written by the program alone");
    }
    Bench described = BenchFile.parse(file.getFileName().toString(), json.toString());
    try {
      List<BoundInstrument> wired = Feeds.wire(described, file, drivers);
      ChannelMatch.check(
          described,
          wired.stream()
              .collect(Collectors.toMap(one -> one.instrument().id(), BoundInstrument::channels)));
    } catch (Refusal e) {
      throw HttpError.wrong(e.getMessage());
    }
    Bench whole = described;
    if (Files.exists(file)) {
      Upkeep learned = ofGaugesThere(described, BenchFile.read(file).upkeep());
      Upkeep after = cause.isEmpty() ? learned : EpochTasks.begin(learned, cause(cause), today());
      whole = described.with(none -> after);
    }
    Files.createDirectories(file.toAbsolutePath().getParent());
    BenchFile.write(file, whole, Optional.of(json.toString()));
  }

  private static LocalDate today() {
    return LocalDate.now(java.time.ZoneId.systemDefault());
  }

  private static EpochTasks.Cause cause(String word) throws HttpError {
    return Worded.named(EpochTasks.Cause.values(), word)
        .orElseThrow(() -> HttpError.wrong("\"epoch\" is moved, repaired or gauge changed"));
  }

  private static Upkeep ofGaugesThere(Bench bench, Upkeep old) {
    Set<String> there = new HashSet<>();
    bench.ranges().forEach(range -> there.add(range.drop().key()));
    for (Source source : bench.channels().values()) {
      if (source instanceof Source.Measured gauge) {
        there.add(gauge.key());
      }
    }
    Map<String, Zero> zeros = new TreeMap<>(old.zeros());
    zeros.keySet().retainAll(there);
    return new Upkeep(
        old.epoch(),
        zeros,
        old.leakages(),
        old.calibrations(),
        old.repeatability(),
        old.calm(),
        old.health());
  }

  /**
   * Writes the plates file.
   *
   * @throws FileNotAccepted saying what is wrong, where, and what to do
   */
  public void writePlates(JsonNode plates) throws IOException {
    ObjectNode json = JsonOut.object().put("meniscus", "plates/1");
    json.set("plates", plates);
    PlatesFile.parse(platesFile().getFileName().toString(), json.toString());
    WholeFile.write(platesFile(), json.toPrettyString() + "\n");
  }

  /** Writes bench, plan and plates of the simulated bench; overwrites nothing. */
  public void writeSimulated() throws HttpError, IOException {
    if (Files.exists(file)) {
      throw HttpError.notNow(file + " is there already; nothing was written");
    }
    Files.createDirectories(data);
    Files.createDirectories(file.toAbsolutePath().getParent());
    WholeFile.write(file, text("bench.json"));
    Path plan = data.resolve("plan.json");
    if (!Files.exists(plan)) {
      WholeFile.write(plan, text("plan.json"));
    }
    if (!Files.exists(platesFile())) {
      writePlates(simulatedPlates());
    }
  }

  private static ArrayNode simulatedPlates() {
    ArrayNode plates = JsonOut.object().arrayNode();
    for (Mounted.Plate plate : Scenario.demo().plates()) {
      String bore = Math.round(plate.boreM() * 1e4) / 10.0 + "";
      ObjectNode json = plates.addObject().put("name", bore.replace(".0", ""));
      json.put("bore", bore + " mm").put("bore_within", "0.01 mm").put("origin", "certificate");
      json.putObject("coefficient")
          .put("value", plate.certifiedCoefficient())
          .put("standard_uncertainty", 50 * plate.certifiedU95() + " %");
    }
    return plates;
  }

  /** Text of a file that comes with the program. */
  public static String text(String name) throws IOException {
    try (InputStream in = BenchOfPage.class.getResourceAsStream(SIMULATED + name)) {
      if (in == null) {
        throw new IllegalStateException("the program has no " + name + ": it is not whole");
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }
}
