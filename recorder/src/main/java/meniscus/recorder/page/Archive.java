package meniscus.recorder.page;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Sweep;
import meniscus.recorder.archive.IndexEntry;
import meniscus.recorder.archive.NotesOfTest;
import meniscus.recorder.archive.TestArchive;
import meniscus.recorder.archive.TestSummary;
import meniscus.recorder.disk.Aside;
import meniscus.recorder.disk.InsideName;
import meniscus.recorder.disk.PortableName;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.folder.TypedFolder;
import meniscus.recorder.journal.Header;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.Request;
import meniscus.recorder.upkeep.UpkeepPlace;
import meniscus.recorder.upkeep.WrongRequest;

/**
 * The tests and plans of the data folder. Names from outside are names within it only; tests may
 * lie some folders deep, as an archive keeps them.
 */
final class Archive {

  /** Our own choice: to look at 10 000 folders takes half a second, and a word is typed in less. */
  private static final long TYPING_NANOS = 5_000_000_000L;

  private final Path data;
  private Optional<TestArchive> archive = Optional.empty();
  private List<IndexEntry> looked = List.of();
  private long lookedAt;

  Archive(Path data) {
    this.data = data;
  }

  /** Read when it is first asked for: the page need not wait for it to start. */
  private synchronized TestArchive archive() {
    if (archive.isEmpty()) {
      archive = Optional.of(TestArchive.of(data));
    }
    return archive.get();
  }

  /** Every test, newest first; a damaged one with what is wrong. */
  ArrayNode tests() {
    ArrayNode list = JsonOut.object().arrayNode();
    archive().tests().forEach(entry -> list.add(told(entry)));
    return list;
  }

  /** One leaf of what is looked for; while somebody types, no folder is looked at between keys. */
  ObjectNode testList(Request asked) throws HttpError {
    boolean typed = asked.one("words").filter(words -> !words.isBlank()).isPresent();
    return TestList.leaf(looked(typed ? TYPING_NANOS : 0), asked, Archive::told);
  }

  /** Every test, newest first, as it stood at most so long ago. */
  private synchronized List<IndexEntry> looked(long nanos) {
    if (looked.isEmpty() || System.nanoTime() - lookedAt >= nanos) {
      looked = archive().tests();
      lookedAt = System.nanoTime();
    }
    return looked;
  }

  private static ObjectNode told(IndexEntry entry) {
    return entry.known().map(known -> summary(entry.name(), known)).orElseGet(() -> bare(entry));
  }

  private static ObjectNode bare(IndexEntry entry) {
    ObjectNode json = JsonOut.object().put("name", entry.name()).put("stands", entry.stands());
    return entry.why().isEmpty() ? json : json.put("why", entry.why());
  }

  private static ObjectNode summary(String name, TestSummary known) {
    TestJson showing = new TestJson(known.units());
    ObjectNode json = JsonOut.object();
    json.put("name", name).put("stands", "finished").put("title", known.title());
    json.put("at", known.at().toString());
    json.set("units", showing.units());
    json.set("plan", showing.plan(known.part(), known.port(), known.direction(), known.rungs()));
    json.put("points", known.points());
    json.put("doubtful", known.doubtful());
    JsonOut.array(json, "changes", known.changes());
    json.put("follows", known.follows().orElse(null));
    ArrayNode curve = json.putArray("small_curve");
    for (TestSummary.Spot spot : known.spots()) {
      curve.add(known.units().lift().fromSi(spot.liftM()));
      curve.add(known.units().flow().fromSi(spot.flowM3PerS()));
    }
    JsonOut.put(json, "peak", known.highestFlowM3PerS(), known.units().flow());
    return json;
  }

  /** One test with its points and budgets. */
  ObjectNode test(String name) throws HttpError, IOException {
    TestFolder test = open(name);
    TestJson showing = new TestJson(test.units());
    ObjectNode json = summary(name, TestSummary.of(test));
    NotesOfTest written = NotesOfTest.of(test);
    List<LiftPoint> read = written.points();
    JsonOut.array(
        json,
        "notes",
        written.notes().notes().stream()
            .map(
                note ->
                    note.at().map(at -> at.toString().substring(0, 10) + ": ").orElse("")
                        + note.text())
            .toList());
    JsonOut.list(
        json,
        "photos",
        written.notes().photos(),
        (node, photo) -> node.put("file", photo.file()).put("caption", photo.caption()));
    Plan plan = PlanFile.parse(name, test.text(Header.PLAN));
    Sweep main = plan.ladder().get(0).sweep();
    TestShapes shapes = new TestShapes(plan);
    json.set("shape_units", shapes.units());
    json.set("beside", showing.beside(read));
    ArrayNode points = json.putArray("curve");
    for (LiftPoint point : read) {
      ObjectNode one = showing.point(point);
      shapes.addTo(one, point);
      one.put("on_curve", point.sweep() == main && !plan.asideOfTheCurve(point.rung()));
      one.put("set_aside", point.isSetAside() ? point.setAsideBecause() : null);
      JsonOut.list(
          one,
          "budget",
          point.budget(),
          (row, part) -> {
            row.put("source", part.source()).put("kind", part.kind().word());
            JsonOut.put(
                row,
                "u",
                part.standardUncertainty() * Math.abs(part.sensitivity()),
                test.units().flow());
          });
      points.add(one);
    }
    JsonOut.array(json, "damage", test.damage());
    return json;
  }

  /** Names of the finished tests of the head that one test is of, that one among them. */
  List<String> ofSameHead(String name) throws HttpError {
    List<IndexEntry> all = archive().tests();
    String head =
        all.stream()
            .filter(entry -> entry.name().equals(name))
            .flatMap(entry -> entry.known().stream())
            .map(known -> known.part().head())
            .findFirst()
            .orElseThrow(() -> HttpError.unknown("there is no finished test \"" + name + "\""));
    return all.stream()
        .filter(entry -> entry.known().filter(its -> its.part().head().equals(head)).isPresent())
        .map(IndexEntry::name)
        .toList();
  }

  /** Plans and tests of this folder, by name. */
  UpkeepPlace.Library library() {
    return new UpkeepPlace.Library() {
      @Override
      public Path plan(String name) throws WrongRequest {
        return in("plan", () -> planFile(name));
      }

      @Override
      public Path test(String name) throws WrongRequest {
        return in("from", () -> existing(name));
      }
    };
  }

  /** A file that is asked for by name. */
  private interface Named {
    Path path() throws HttpError;
  }

  private static Path in(String option, Named named) throws WrongRequest {
    try {
      return named.path();
    } catch (HttpError e) {
      throw WrongRequest.notUnderstood(option, e.getMessage());
    }
  }

  TestFolder open(String name) throws HttpError, IOException {
    return TestFolder.open(finished(name));
  }

  /** The same without its samples being checked. */
  TestFolder glance(String name) throws HttpError, IOException {
    return TestFolder.glance(finished(name));
  }

  private Path finished(String name) throws HttpError {
    Path folder = existing(name);
    if (TestFolder.state(folder) != TestFolder.State.FINISHED) {
      throw HttpError.unknown("there is no finished test \"" + name + "\"");
    }
    return folder;
  }

  /** Finished tests by their names, with what is known of them. */
  List<TestArchive.Found> found(List<String> names) throws HttpError {
    List<IndexEntry> all = archive().tests();
    List<TestArchive.Found> found = new ArrayList<>();
    for (String name : names) {
      Path folder = finished(name);
      IndexEntry entry =
          all.stream()
              .filter(one -> one.name().equals(name) && one.known().isPresent())
              .findFirst()
              .orElseThrow(() -> HttpError.unknown("the test \"" + name + "\" is damaged"));
      found.add(new TestArchive.Found(folder, entry));
    }
    return found;
  }

  /** Curves from elsewhere in the data folder. */
  List<TypedFolder> typed() {
    return archive().tests().stream().flatMap(entry -> entry.typed().stream()).toList();
  }

  /** The plans that a test can be started with: files of the data folder, then those of tests. */
  synchronized ArrayNode plans() {
    ArrayNode list = JsonOut.object().arrayNode();
    try (Stream<Path> files = Files.list(data)) {
      files
          .filter(file -> InsideName.ok(name(file)) && name(file).endsWith(".json"))
          .filter(file -> Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS))
          .sorted()
          .forEach(file -> addPlan(list, file));
    } catch (IOException e) {
      // A data folder that is not there yet has no plans.
    }
    return list;
  }

  /** A plan of the data folder, as its file says. */
  JsonNode plan(String name) throws HttpError {
    return json(PlanFile.read(planFile(name)));
  }

  /** The plan that a finished test was taken with. */
  JsonNode planOfTest(String name) throws HttpError, IOException {
    byte[] plan = open(name).file(Header.PLAN);
    return json(PlanFile.parse(name + "/plan.json", new String(plan, StandardCharsets.UTF_8)));
  }

  private static JsonNode json(Plan plan) {
    try {
      return new ObjectMapper().readTree(PlanFile.text(plan));
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a plan's text is JSON", e);
    }
  }

  private static void addPlan(ArrayNode list, Path file) {
    try {
      if (Files.size(file) > 1 << 20
          || !Files.readString(file, StandardCharsets.UTF_8).contains("\"plan/")) {
        return;
      }
      Plan plan = PlanFile.read(file);
      TestJson showing = new TestJson(plan.units());
      ObjectNode json = list.addObject().put("name", name(file));
      json.set("units", showing.units());
      json.set("plan", showing.plan(plan));
    } catch (IOException | FileNotAccepted e) {
      list.addObject().put("name", name(file)).put("why", String.valueOf(e.getMessage()));
    }
  }

  /**
   * Writes a plan whole, if it is accepted. Only a plan is written over, and the one that was there
   * stays beside it under another name.
   *
   * @param taken files that are something else, whether they are there yet or not
   * @throws FileNotAccepted saying what is wrong, where, and what to do
   */
  void writePlan(String name, String json, boolean replace, Set<Path> taken)
      throws HttpError, IOException {
    if (!name.endsWith(".json") || name.equals("bench.json")) {
      throw HttpError.wrong("a plan's name ends in .json, and is not bench.json");
    }
    Path file = inside(name);
    if (taken.stream().anyMatch(other -> absolute(other).equals(absolute(file)))) {
      throw HttpError.wrong(name + " is the name of a file of the bench: choose another");
    }
    Plan plan = PlanFile.parse(name, json);
    if (Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
      if (!PlanFile.isOne(file)) {
        throw HttpError.notNow(name + " is there already and is no plan: choose another name");
      }
      if (!replace) {
        throw HttpError.notNow(name + " is there already: choose another name, or replace it");
      }
      Aside.copy(file);
    }
    PlanFile.write(file, plan);
  }

  private static Path absolute(Path path) {
    return path.toAbsolutePath().normalize();
  }

  /** A plan file of the data folder. */
  Path planFile(String name) throws HttpError {
    return file("plan", name);
  }

  /** A file of the data folder that is there. */
  Path file(String what, String name) throws HttpError {
    Path file = inside(name);
    if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
      throw HttpError.unknown("there is no " + what + " \"" + name + "\" in " + data);
    }
    return file;
  }

  /** A test folder within the data folder; no step on the way is a link. */
  Path existing(String name) throws HttpError {
    if (!InsideName.ok(name)) {
      throw badName();
    }
    Path folder = data;
    for (String step : name.split("/")) {
      folder = folder.resolve(step);
      if (!Files.isDirectory(folder, LinkOption.NOFOLLOW_LINKS)) {
        throw HttpError.unknown("there is no test \"" + name + "\" in " + data);
      }
    }
    return folder;
  }

  /** Where an entry of the data folder is, or would be. */
  Path inside(String name) throws HttpError {
    if (!InsideName.ok(name) || name.contains("/")) {
      throw badName();
    }
    Optional<String> fault = PortableName.fault(name);
    if (fault.isPresent()) {
      throw HttpError.wrong(fault.get());
    }
    return data.resolve(name);
  }

  private static HttpError badName() {
    return HttpError.wrong(
        "a name here has letters, digits, dots, hyphens and underscores, no spaces or slashes");
  }

  private static String name(Path path) {
    return path.getFileName().toString();
  }
}
