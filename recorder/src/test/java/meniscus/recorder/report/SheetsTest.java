package meniscus.recorder.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import javax.imageio.ImageIO;
import javax.xml.parsers.DocumentBuilderFactory;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.recorder.cli.Called;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.w3c.dom.Document;

/** One page for a head, one for a customer, and charts as files of their own. */
class SheetsTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");

  @TempDir private Path temp;

  private int days;

  private final InventedBench bench =
      new InventedBench(41, new InventedBench.Errors(0.001, 1e-6, 1e-4, 1e-3, 0));

  private Path test(
      String name, String chamber, PortKind kind, String job, double factor, String... changes)
      throws IOException {
    return InventedFolders.write(
        temp.resolve("tests").resolve(name),
        InventedBench.of(
            new Plan.Part("Heron head", chamber, kind.word(), job, "job 7"),
            kind,
            List.of(changes).stream()
                .map(
                    what ->
                        new Plan.ChangeNote(
                            what, "", OptionalDouble.empty(), OptionalDouble.empty()))
                .toList(),
            bench.run(name, Optional.empty(), lift -> factor)),
        true,
        DAY.plusSeconds(86_400L * days++));
  }

  private static Document parsed(String text) throws Exception {
    return DocumentBuilderFactory.newInstance()
        .newDocumentBuilder()
        .parse(
            new ByteArrayInputStream(
                text.substring(text.indexOf("<html") < 0 ? 0 : text.indexOf("<html"))
                    .getBytes(StandardCharsets.UTF_8)));
  }

  @Test
  void theHeadSheetMarksThePortThatReallyFlowsLess() throws Exception {
    test("i1-old", "chamber 1", PortKind.INTAKE, "job A", 0.8);
    test("i1", "chamber 1", PortKind.INTAKE, "job A", 1, "opened the bowl");
    test("i2", "chamber 2", PortKind.INTAKE, "job B", 1.001, "opened the bowl");
    test("i3", "chamber 3", PortKind.INTAKE, "job C", 0.93, "opened the bowl");
    test("e1", "chamber 1", PortKind.EXHAUST, "job A", 0.75);
    Path out = temp.resolve("head.html");
    Called called = Called.with("report", "--head", temp.resolve("tests"), "--out", out);
    assertEquals(0, called.code(), called.err());
    String text = parsed(Files.readString(out)).getDocumentElement().getTextContent();
    assertTrue(text.contains("Head sheet: Heron head"), text);
    assertTrue(text.contains("Weakest: chamber 3, intake, average "), text);
    assertTrue(text.contains("; told apart from chamber 1, intake, the next."), text);
    for (String job : List.of("job A", "job B", "job C")) {
      assertTrue(text.contains(job), "every port's valve job: " + job);
    }
    assertTrue(text.matches("(?s).*Exhaust to intake: chamber 1, exhaust to intake: 7\\d.*"), text);
    assertFalse(text.contains("i1-old"), "a port is shown as it is now");
    String html = Files.readString(out);
    int marks = html.split("▼ ").length - 1;
    // Twelve lifts and the average, of the third port alone.
    assertTrue(marks >= 10 && marks <= 13, marks + " marks");
    assertFalse(html.contains("<script"));
  }

  @Test
  void aHeadSheetIsOfOneHead() throws Exception {
    test("i1", "chamber 1", PortKind.INTAKE, "", 1);
    InventedFolders.write(
        temp.resolve("tests").resolve("other"),
        bench.run("other", Optional.empty(), lift -> 1),
        true,
        DAY);
    Called called =
        Called.with("report", "--head", temp.resolve("tests"), "--out", temp.resolve("h.html"));
    assertEquals(4, called.code());
    assertTrue(
        called.err().contains("Heron head") && called.err().contains("--part"), called.err());
  }

  @Test
  void theCustomersSheetSaysWhatWasDoneAndHowSureItIs() throws Exception {
    Path before = test("before", "chamber 1", PortKind.INTAKE, "30/45/60", 1);
    Path after = test("after", "chamber 1", PortKind.INTAKE, "30/45/60", 1.05, "opened the bowl");
    Path out = temp.resolve("short.html");
    Called called =
        Called.with("report", "--short", "--before", before, "--after", after, "--out", out);
    assertEquals(0, called.code(), called.err());
    String text = parsed(Files.readString(out)).getDocumentElement().getTextContent();
    for (String said :
        List.of(
            "Reference job 7",
            "Gains at every lift",
            "opened the bowl",
            "Invented bench",
            "of reference air",
            "at most 5 of 100",
            "Average of these 12 lifts")) {
      assertTrue(text.contains(said), said + " in " + text);
    }
    Path two = temp.resolve("two.html");
    assertEquals(0, Called.with("report", "--short", after, before, "--out", two).code());
    assertEquals(
        Files.readString(out), Files.readString(two), "two tests of one port: the earlier first");
    Path exhaust = test("exhaust", "chamber 1", PortKind.EXHAUST, "30/45/60", 0.8);
    Path beside = temp.resolve("beside.html");
    assertEquals(0, Called.with("report", "--short", before, exhaust, "--out", beside).code());
    String both = parsed(Files.readString(beside)).getDocumentElement().getTextContent();
    assertTrue(both.contains("liftbeforeexhaust"), "two ports: both curves, no change " + both);
    Path alone = temp.resolve("alone.html");
    Called single = Called.with("report", "--short", before, "--out", alone);
    assertEquals(0, single.code(), single.err());
    String one = parsed(Files.readString(alone)).getDocumentElement().getTextContent();
    assertTrue(one.contains("Highest flow") && one.contains("measured as it came"), one);
  }

  @Test
  void everyChartIsAFileOfItsOwnInBothForms() throws Exception {
    Path before = test("before", "", PortKind.INTAKE, "", 1);
    Path after = test("after", "", PortKind.INTAKE, "", 1.05, "opened the bowl");
    Path charts = temp.resolve("charts");
    Called called = Called.with("report", "--before", before, "--after", after, "--charts", charts);
    assertEquals(0, called.code(), called.err());
    for (String name : List.of("flow", "change", "card")) {
      Document svg = parsed(Files.readString(charts.resolve(name + ".svg")));
      assertEquals("svg", svg.getDocumentElement().getTagName());
      BufferedImage png = ImageIO.read(charts.resolve(name + ".png").toFile());
      assertEquals(1600, png.getWidth());
      double shape =
          Double.parseDouble(svg.getDocumentElement().getAttribute("width"))
              / Double.parseDouble(svg.getDocumentElement().getAttribute("height"));
      assertEquals(shape, (double) png.getWidth() / png.getHeight(), 0.01);
      assertTrue(colours(png) > 10, name + " is drawn, not blank");
    }
    String card = Files.readString(charts.resolve("card.svg"));
    assertTrue(card.contains("Gains at every lift"), card);
    assertTrue(card.contains("average of 12 lifts"), card);
    assertTrue(card.contains("width=\"1920\" height=\"1080\""), "16 by 9");
  }

  private static long colours(BufferedImage png) {
    return java.util.Arrays.stream(
            png.getRGB(0, 0, png.getWidth(), png.getHeight(), null, 0, png.getWidth()))
        .distinct()
        .count();
  }

  @Test
  void aPointThatIsSetAsideCountsForNothingAndIsShownStruckThroughUntilItIsTakenBack()
      throws Exception {
    Path before = test("before", "", PortKind.INTAKE, "", 1);
    Path after = test("after", "", PortKind.INTAKE, "", 1.05, "opened the bowl");
    byte[] points = Files.readAllBytes(after.resolve("points.csv"));
    Called without = Called.with("note", after, "--set-aside", "3 mm");
    assertEquals(2, without.code());
    assertTrue(without.err().contains("--because"), without.err());
    Called unknown = Called.with("note", after, "--set-aside", "3.3 mm", "--because", "x");
    assertEquals(4, unknown.code());
    assertTrue(unknown.err().contains("2.00, 3.00"), unknown.err());
    String reason = "spring held the valve";
    Called aside = Called.with("note", after, "--set-aside", "3 mm", "--because", reason);
    assertEquals(0, aside.code(), aside.err());
    assertTrue(aside.out().contains("lift 3.00 mm is set aside: " + reason), aside.out());
    Called compared = Called.with("compare", before, "--after", after);
    assertTrue(compared.out().contains("Average of these 11 lifts"), compared.out());
    assertTrue(compared.out().contains("set aside: " + reason), compared.out());
    Path report = temp.resolve("r.html");
    assertEquals(0, Called.with("report", after, "--out", report).code());
    assertTrue(Files.readString(report).contains("<tr class=\"aside\">"));
    Called table = Called.with("export", after);
    assertTrue(table.out().contains("set aside: " + reason), table.out());
    assertTrue(java.util.Arrays.equals(points, Files.readAllBytes(after.resolve("points.csv"))));
    Called back = Called.with("note", after, "--take-back", "3 mm");
    assertEquals(0, back.code(), back.err());
    assertTrue(
        Called.with("compare", before, "--after", after).out().contains("of these 12 lifts"));
  }

  @Test
  void aChangeIsNotedAfterTheTestInWhateverItIsMeasured() throws Exception {
    Path before = test("before", "", PortKind.INTAKE, "", 1);
    Path after = test("after", "", PortKind.INTAKE, "", 1.05);
    Called noted =
        Called.with(
            "note",
            after,
            "--change",
            "shortened the guide",
            "--before",
            "42 mm",
            "--after",
            "38 mm",
            "--left",
            "38 mm",
            "--at-least",
            "40 mm");
    assertEquals(0, noted.code(), noted.err());
    Called finish =
        Called.with(
            "note", after, "--change", "finish", "--before", "80 grit", "--after", "as cut");
    assertTrue(
        finish
            .out()
            .contains(
                "changed: shortened the guide: from 42.00 mm to 38.00 mm, -4.00 mm; 38.00 mm left,"
                    + " at least 40.00 mm were to stay"),
        finish.out() + finish.err());
    assertTrue(finish.out().contains("changed: finish: from 80 grit to as cut"), finish.out());
    Called compared = Called.with("compare", before, "--after", after);
    assertTrue(compared.out().contains("Less metal is left than was to stay."), compared.out());
    Called history = Called.with("report", "--history", temp.resolve("tests"));
    assertTrue(history.out().contains("change 1"), "it is a step of the history: " + history.out());
    assertTrue(Called.with("export", after).out().contains("shortened the guide; finish"));
    Called mixed =
        Called.with("note", after, "--change", "x", "--before", "42 mm", "--after", "45 deg");
    assertEquals(2, mixed.code());
    assertTrue(mixed.err().contains("same kind of thing"), mixed.err());
  }
}
