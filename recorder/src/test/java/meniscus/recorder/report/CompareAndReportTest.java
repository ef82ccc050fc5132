package meniscus.recorder.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.DoubleUnaryOperator;
import javax.xml.parsers.DocumentBuilderFactory;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestSetUp;
import meniscus.recorder.cli.MeniscusCommand;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.w3c.dom.Document;

/** {@code compare} and {@code report} from outside, on folders as they are recorded. */
@Tag("long")
class CompareAndReportTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");
  private static final DoubleUnaryOperator CHANGE =
      lift -> lift < 5.5e-3 ? 1.04 : lift > 10.5e-3 ? 0.93 : 1;

  @TempDir private Path temp;

  private record Run(int code, String out, String err) {}

  private static Run run(String... words) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    int code =
        MeniscusCommand.run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            InputStream.nullInputStream(),
            words);
    return new Run(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  private Path folder(String name, boolean repeatability, DoubleUnaryOperator change)
      throws IOException {
    InventedBench bench =
        new InventedBench(name.hashCode(), new InventedBench.Errors(0.003, 1e-5, 1e-3, 1e-3, 0));
    return InventedFolders.write(
        temp.resolve(name), bench.run(name, Optional.empty(), change), repeatability, DAY);
  }

  @Test
  void theContractHoldsWithGainBelowAndLossAbove() throws IOException {
    Path before = folder("before", true, lift -> 1);
    Path after = folder("after", true, CHANGE);
    Run run = run("compare", before.toString(), "--after", after.toString(), "--json");
    assertEquals(0, run.code, run.err);
    assertEquals("", run.err);
    assertEquals(1, run.out.lines().count());
    JsonNode json = new ObjectMapper().readTree(run.out);
    assertEquals(12, json.get("lifts").size());
    for (JsonNode lift : json.get("lifts")) {
      for (String number :
          List.of("lift", "before", "after", "difference", "difference_percent", "u95")) {
        assertTrue(lift.path(number).isNumber(), number + " in " + lift);
      }
      double mm = lift.get("lift").asDouble();
      String outcome = mm < 5.5 ? "gain" : mm > 10.5 ? "loss" : "no real change";
      if (!lift.get("outcome").asText().equals("cannot tell yet")) {
        assertEquals(outcome, lift.get("outcome").asText(), mm + " mm");
      }
      assertTrue(lift.has("repeats_needed"));
    }
    assertEquals("loss", json.get("lifts").get(11).get("outcome").asText());
    boolean named = false;
    for (JsonNode finding : json.get("findings")) {
      for (String member : List.of("kind", "sentence", "evidence", "next_step", "lifts")) {
        assertTrue(finding.has(member), member + " in " + finding);
      }
      named |= finding.get("kind").asText().equals("loses at high lift");
    }
    assertTrue(named, json.get("findings").toString());
    assertEquals("mm", json.at("/unit/lift").asText());
  }

  @Test
  void withoutRepeatabilityEveryLiftIsCannotTellYetWithItsInterval() throws IOException {
    Path before = folder("before", false, lift -> 1);
    Path after = folder("after", false, CHANGE);
    JsonNode json =
        new ObjectMapper()
            .readTree(run("compare", before.toString(), "--after", after.toString(), "--json").out);
    for (JsonNode lift : json.get("lifts")) {
      assertEquals("cannot tell yet", lift.get("outcome").asText());
      assertTrue(lift.get("u95").asDouble() > 0);
      assertTrue(lift.get("repeats_needed").asInt() >= 1);
    }
  }

  @Test
  void severalRunsASideNeedNoStoredRepeatability() throws IOException {
    List<String> words = new ArrayList<>(List.of("compare"));
    for (String name : List.of("b1", "b2", "b3")) {
      words.add(folder(name, false, lift -> 1).toString());
    }
    words.add("--after");
    for (String name : List.of("a1", "a2", "a3")) {
      words.add(folder(name, false, lift -> 1.08).toString());
    }
    words.add("--json");
    JsonNode json = new ObjectMapper().readTree(run(words.toArray(String[]::new)).out);
    assertEquals("gain", json.at("/whole_curve/outcome").asText(), json.toString());
    assertTrue(json.get("scatter").asText().contains("pooled over both sides"));
  }

  @Test
  void damagedAndForeignFoldersAreRefusedByFileAndRow() throws IOException {
    Path before = folder("before", true, lift -> 1);
    Path after = folder("after", true, lift -> 1);
    Run foreign = run("compare", temp.toString(), "--after", after.toString(), "--json");
    assertEquals(4, foreign.code);
    assertEquals("", foreign.out);
    assertTrue(foreign.err.contains("not a test folder"), foreign.err);
    Path points = before.resolve("points.csv");
    Files.writeString(points, Files.readString(points).replace(",steady,", ",stable,"));
    Run damaged = run("compare", before.toString(), "--after", after.toString(), "--json");
    assertEquals(4, damaged.code);
    assertTrue(damaged.err.contains("points.csv"), damaged.err);
    Run report = run("report", before.toString(), "--out", temp.resolve("r.html").toString());
    assertEquals(4, report.code);
    assertFalse(Files.exists(temp.resolve("r.html")));
  }

  @Test
  void wrongWordsAreUsage() throws IOException {
    Path before = folder("before", true, lift -> 1);
    assertEquals(2, run("compare", before.toString()).code);
    assertEquals(
        2, run("compare", before.toString(), "--after", before.toString(), "--margin", "x").code);
    assertEquals(2, run("report", "--out", temp.resolve("r.html").toString()).code);
    assertEquals(
        2,
        run("report", "--before", before.toString(), "--out", temp.resolve("r.html").toString())
            .code);
  }

  @Test
  void theTerminalSaysFirstWhatChangedWhereThenLiftByLiftThenTheAverage() throws IOException {
    Path before = folder("before", true, lift -> 1);
    Path after = folder("after", true, CHANGE);
    Run run = run("compare", before.toString(), "--after", after.toString());
    assertEquals(0, run.code, run.err);
    assertTrue(
        run.out.matches("(?s)Gains at 1\\.00–\\d\\.00 mm, loses from 1\\d\\.00 mm up; .*"),
        run.out);
    int lifts = run.out.indexOf("     1.00 mm ");
    int average = run.out.indexOf("Average of these 12 lifts (others would give another average)");
    assertTrue(0 < lifts && lifts < average, run.out);
    assertTrue(run.out.contains("LOSES AT HIGH LIFT"));
  }

  @Test
  void theReportIsOneFileWithoutScriptThatNeedsNothingElse() throws Exception {
    Path out = temp.resolve("report.html");
    Run run =
        run(
            "report",
            "--before",
            folder("before", true, lift -> 1).toString(),
            "--after",
            folder("after", true, CHANGE).toString(),
            "--out",
            out.toString());
    assertEquals(0, run.code, run.err);
    String html = Files.readString(out);
    Document document = parsed(html);
    assertEquals(0, document.getElementsByTagName("script").getLength());
    assertEquals(0, document.getElementsByTagName("link").getLength());
    assertEquals(0, document.getElementsByTagName("img").getLength());
    assertFalse(html.contains("http://"));
    assertFalse(html.contains("https://"));
    assertTrue(document.getElementsByTagName("svg").getLength() >= 2);
    assertTrue(html.contains("default-src &#39;none&#39;"));
    for (String said :
        List.of(
            "gain",
            "loss",
            "no real change",
            "lost at high lift",
            "qualified machinist",
            "bench health")) {
      assertTrue(html.contains(said), said);
    }
  }

  @Test
  void insideTheBandThereIsNoBarePercentage() throws Exception {
    Path out = temp.resolve("report.html");
    run(
        "report",
        "--before",
        folder("before", true, lift -> 1).toString(),
        "--after",
        folder("after", true, lift -> 1).toString(),
        "--out",
        out.toString());
    for (String row : Files.readString(out).split("<tr>")) {
      if (row.contains("= no real change")) {
        assertTrue(row.contains("less than"), row);
        assertFalse(row.contains("+") || row.contains("-0."), row);
      }
    }
  }

  @Test
  void hostileNamesStayText() throws Exception {
    String hostile = "</style><script>alert(1)</script>\u202e\"'&<img src=x onerror=y>";
    InventedBench bench = new InventedBench(5, InventedBench.Errors.USUAL);
    TestCurve plain = bench.run("x", Optional.empty(), lift -> 1);
    Path folder = InventedFolders.write(temp.resolve("t"), renamed(plain, hostile), true, DAY);
    Path out = temp.resolve("report.html");
    Run run = run("report", folder.toString(), "--out", out.toString());
    assertEquals(0, run.code, run.err);
    String html = Files.readString(out);
    assertFalse(html.contains("<script"));
    assertFalse(html.contains("<img"));
    assertFalse(html.contains("\u202e"));
    Document document = parsed(html);
    assertEquals(0, document.getElementsByTagName("script").getLength());
    assertTrue(document.getDocumentElement().getTextContent().contains("<img src=x onerror=y>"));
  }

  @Test
  void aTestByItselfIsReportedWithItsIntervals() throws Exception {
    Path out = temp.resolve("report.html");
    Run run = run("report", folder("only", true, lift -> 1).toString(), "--out", out.toString());
    assertEquals(0, run.code, run.err);
    String html = Files.readString(out);
    parsed(html);
    assertTrue(html.contains("Test only"));
    assertTrue(html.contains("average flow of the lifts"));
    assertTrue(html.contains("21.0 °C"));
  }

  /** The report is written so that a strict XML reader accepts it too. */
  private static Document parsed(String html) throws Exception {
    String body = html.substring(html.indexOf("<html"));
    return DocumentBuilderFactory.newInstance()
        .newDocumentBuilder()
        .parse(new ByteArrayInputStream(body.getBytes(StandardCharsets.UTF_8)));
  }

  private static TestCurve renamed(TestCurve test, String name) {
    Plan p = test.plan();
    TestSetUp s = p.setUp();
    Plan plan =
        p.with(
                new Plan.Subject(
                    new Plan.Part(name, name, name, name, name),
                    p.port(),
                    List.of(
                        new Plan.ChangeNote(
                            name, name, OptionalDouble.of(0.02), OptionalDouble.of(0.021)))))
            .with(
                new TestSetUp(
                    s.valves(),
                    s.smallestAreaM2(),
                    s.adapter(),
                    new TestSetUp.Fitted(s.entry(), s.exit(), name),
                    new TestSetUp.Indicator(name, OptionalDouble.empty())));
    List<LiftPoint> points = test.points();
    return new TestCurve(
        name,
        test.bench(),
        test.calibration(),
        test.repeatability(),
        plan,
        test.room(),
        test.health(),
        points);
  }
}
