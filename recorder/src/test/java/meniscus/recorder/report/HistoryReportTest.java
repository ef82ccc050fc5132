package meniscus.recorder.report;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Base64;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import javax.imageio.ImageIO;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.recorder.cli.Called;
import meniscus.recorder.folder.TestFolder;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Notes, photos and the history of a job's ports, from outside. */
@Tag("long")
class HistoryReportTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");

  @TempDir private Path temp;

  private Path tests;
  private final InventedBench bench =
      new InventedBench(21, new InventedBench.Errors(0.001, 1e-6, 1e-4, 1e-3, 0));

  @BeforeEach
  void threeSteps() throws IOException {
    tests = temp.resolve("tests");
    write("as-received", "port 1", 1, 0);
    write("other-port", "port 2", 1, 1);
    write("bowl", "port 1", 0.93, 2, note("opened the bowl", 24e-3, 24.5e-3));
    write("roof", "port 1", 1.06, 3, note("raised the roof", 30e-3, 31e-3));
    assertEquals(0, Called.with("note", tests.resolve("roof"), "--follows", "as-received").code());
  }

  private static Plan.ChangeNote note(String what, double before, double after) {
    return new Plan.ChangeNote(
        what, "below the seat", OptionalDouble.of(before), OptionalDouble.of(after));
  }

  private void write(String name, String port, double factor, int day, Plan.ChangeNote... notes)
      throws IOException {
    InventedFolders.write(
        tests.resolve(name),
        InventedBench.of(
            new Plan.Part("Heron head", "", port, "45 degrees", "job 7"),
            PortKind.INTAKE,
            List.of(notes),
            bench.run(name, Optional.empty(), lift -> factor)),
        true,
        DAY.plusSeconds(day * 86_400L));
  }

  private static byte[] picture(String kind) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ImageIO.write(new BufferedImage(8, 8, BufferedImage.TYPE_INT_RGB), kind, out);
    return out.toByteArray();
  }

  @Test
  void theTerminalTellsEachStepWithItsGain() {
    Called called = Called.with("report", "--history", tests);
    assertEquals(0, called.code(), called.err());
    String out = called.out();
    assertTrue(out.startsWith("Job job 7\nHeron head, port 1 (intake)\n"), out);
    assertTrue(out.contains("as received (2031-05-06: as-received)"), out);
    assertTrue(
        out.contains("opened the bowl (below the seat): from 24.00 mm to 24.50 mm, +0.50 mm"));
    assertTrue(
        out.contains("Average of these 12 lifts (others would give another average): loss, -"),
        out);
    assertTrue(
        out.contains("Highest average of the lifts so far: change 2, told apart from as received"),
        out);
    assertTrue(out.contains("Heron head, port 2 (intake)"), out);
  }

  @Test
  void theHistoryTeachesWhatIsBestWhatIsLeftAndWhatIsReached() throws IOException {
    Path series = temp.resolve("series.json");
    Files.writeString(
        series,
        """
        {"meniscus": "series/1", "name": "job 7", "states": [
          {"name": "bowl", "changes": [{"what": "opened the bowl"}]},
          {"name": "finish", "changes": [
            {"what": "finish of the runner", "before": "as cut", "after": "80 grit",
             "expect": {"effect": "none"}}]}]}
        """);
    Object[] asked = {
      "report", "--history", tests, "--part", "port 1", "--series", series, "--aim", "1 cfm at 5 mm"
    };
    Called called = Called.with(asked);
    assertEquals(0, called.code(), called.err());
    String out = called.out();
    assertTrue(out.contains("  Best so far, lift by lift\n"), out);
    assertTrue(out.contains("change 2 (2031-05-"), out);
    assertTrue(out.contains("; told apart from as received, the next: +"), out);
    assertTrue(out.contains("done: bowl, change 1 (2031-05-"), out);
    assertTrue(
        out.contains("to come: finish (finish of the runner: from as cut to 80 grit, no change"),
        out);
    assertTrue(out.contains("1 of 2 planned states are left to do."), out);
    assertTrue(out.contains(" at 5.00 mm: reached, with "), out);
    Path page = temp.resolve("lessons.html");
    List<Object> words = new java.util.ArrayList<>(List.of(asked));
    words.addAll(List.of("--out", page));
    assertEquals(0, Called.with(words.toArray()).code());
    assertTrue(Files.readString(page).contains("1 of 2 planned states are left to do."));
    words.set(words.size() - 2, "--json");
    Called json = Called.with(words.subList(0, words.size() - 1).toArray());
    JsonNode port = new ObjectMapper().readTree(json.out()).get("ports").get(0);
    assertEquals("change 2", port.at("/best_at_lifts/0/state").asText());
    assertTrue(port.at("/highest_flow/told_apart").asBoolean());
    assertEquals("change 1", port.at("/series/states/0/reached").asText());
    assertTrue(port.at("/series/states/1/reached").isNull());
    assertEquals("reached", port.at("/aims/0/stands").asText());
    Called wrong = Called.with("report", "--history", tests, "--aim", "245 cfm");
    assertEquals(2, wrong.code());
    assertTrue(wrong.err().contains("245 cfm at 0.600 in"), wrong.err());
  }

  @Test
  void changeNotesAreATableOfTheirOwn() throws IOException {
    Called called = Called.with("export", tests, "--changes", "--json");
    assertEquals(0, called.code(), called.err());
    JsonNode rows = new ObjectMapper().readTree(called.out()).get("rows");
    JsonNode bowl = rows.get(0);
    assertEquals("opened the bowl", bowl.get("what").asText());
    assertEquals("as received", bowl.get("from").asText());
    assertEquals("loss", bowl.get("average_outcome").asText());
    assertTrue(bowl.get("average_change").asDouble() < 0);
    assertTrue(Called.with("export", tests, "--changes").out().contains("average_change (%)"));
  }

  @Test
  void jsonHoldsTheTreeWithItsComparisons() throws IOException {
    Called called = Called.with("report", "--history", tests, "--part", "port 1", "--json");
    JsonNode json = new ObjectMapper().readTree(called.out());
    assertEquals(1, json.get("ports").size());
    JsonNode port = json.get("ports").get(0);
    assertEquals("change 2", port.get("best").asText());
    JsonNode bowl = port.get("states").get(1);
    JsonNode roof = port.get("states").get(2);
    assertEquals("as received", bowl.get("from").asText());
    assertEquals("as received", roof.get("from").asText());
    assertEquals("loss", bowl.at("/step/whole_curve/outcome").asText());
    assertEquals("gain", roof.at("/step/whole_curve/outcome").asText());
    assertEquals(0.5, bowl.at("/changes/0/difference").asDouble(), 1e-9);
    assertTrue(port.get("states").get(0).get("step").isNull());
  }

  @Test
  void thePageIsOneFileWithPhotosInIt() throws IOException {
    Path photo = Files.write(temp.resolve("Bowl, after.JPG"), picture("jpg"));
    Called noted =
        Called.with(
            "note",
            tests.resolve("bowl"),
            "cutter <chattered>",
            "--photo",
            photo,
            "--caption",
            "after blending");
    assertEquals(0, noted.code(), noted.err());
    Path out = temp.resolve("history.html");
    Called called = Called.with("report", "--history", tests, "--out", out);
    assertEquals(0, called.code(), called.err());
    String html = Files.readString(out);
    assertTrue(html.contains("cutter &lt;chattered&gt;"));
    assertTrue(
        html.contains(
            "data:image/jpeg;base64,"
                + Base64.getEncoder().encodeToString(Files.readAllBytes(photo))));
    assertTrue(html.contains("img-src data:"));
    assertFalse(html.contains("<script"));
    assertFalse(html.contains("http:") || html.contains("https:"));
    for (String said :
        List.of(
            "Highest average of the lifts so far",
            "raised the roof",
            "qualified machinist",
            "Change 2")) {
      assertTrue(html.contains(said), said);
    }
  }

  @Test
  void notesAndPhotosAreTheOnlyPartsWrittenLater() throws IOException {
    Path bowl = tests.resolve("bowl");
    byte[] points = Files.readAllBytes(bowl.resolve("points.csv"));
    Path photo = Files.write(temp.resolve("x.png"), picture("png"));
    assertEquals(0, Called.with("note", bowl, "looked again", "--photo", photo).code());
    assertEquals(0, Called.with("note", bowl, "and again").code());
    TestFolder test = TestFolder.open(bowl);
    assertFalse(test.notesChanged());
    assertTrue(test.files().contains("photos/x.png"));
    assertArrayEquals(Files.readAllBytes(photo), test.file("photos/x.png"));
    assertArrayEquals(points, Files.readAllBytes(bowl.resolve("points.csv")));
    assertFalse(Files.exists(bowl.resolve("test.lock")));
    JsonNode json = new ObjectMapper().readTree(Called.with("note", bowl, "--json").out());
    assertEquals(2, json.get("notes").size());
    assertEquals("and again", json.get("notes").get(1).get("text").asText());
    assertEquals("photos/x.png", json.get("photos").get(0).get("file").asText());
  }

  @Test
  void whatIsNoPhotoOrNoTestIsRefused() throws IOException {
    Path bowl = tests.resolve("bowl");
    Path svg = Files.writeString(temp.resolve("x.jpg"), "<svg xmlns=\"x\"><script/></svg>");
    Called noPhoto = Called.with("note", bowl, "--photo", svg);
    assertEquals(4, noPhoto.code());
    assertTrue(noPhoto.err().contains("neither JPEG nor PNG"), noPhoto.err());
    Called noTest = Called.with("note", bowl, "--follows", "nothing");
    assertEquals(4, noTest.code());
    assertTrue(noTest.err().contains("nothing"), noTest.err());
    assertEquals(4, Called.with("note", temp, "x").code());
    assertEquals(2, Called.with("note", bowl, " ").code());
    Files.writeString(bowl.resolve("notes.json"), "{\"meniscus\": \"notes/1\", \"ntoes\": []}");
    Called spoiled = Called.with("note", bowl);
    assertEquals(4, spoiled.code());
    assertTrue(spoiled.err().contains("ntoes"), spoiled.err());
  }
}
