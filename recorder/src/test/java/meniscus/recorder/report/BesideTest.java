package meniscus.recorder.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import meniscus.core.flow.Direction;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Unit;
import meniscus.recorder.cli.Called;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Ports beside each other, curves from elsewhere, cams and ratios, from outside. */
class BesideTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");

  @TempDir private Path temp;

  private final InventedBench bench =
      new InventedBench(31, new InventedBench.Errors(0.001, 1e-6, 1e-4, 1e-3, 0));

  private Path port(String name, String port, PortKind kind, double factor) throws IOException {
    return InventedFolders.write(
        temp.resolve(name),
        InventedBench.of(
            new Plan.Part("Heron head", "", port, "", ""),
            kind,
            List.of(),
            bench.run(name, Optional.empty(), lift -> factor)),
        true,
        DAY);
  }

  private Path port(String name, String port, double factor) throws IOException {
    return port(name, port, PortKind.INTAKE, factor);
  }

  @Test
  void portsOfAHeadBesideEachOther() throws IOException {
    Path one = port("c1", "cylinder 1", 1);
    Path two = port("c2", "cylinder 2", 0.94);
    Path three = port("c3", "cylinder 3", 1);
    Called text = Called.with("compare", one, two, three, "--ports");
    assertEquals(0, text.code(), text.err());
    assertTrue(
        text.out()
            .matches(
                "(?s).*cylinder 2 against cylinder 1: less at [^\n]*; average of the lifts: flows less,"
                    + " -.*"),
        text.out());
    assertTrue(
        text.out()
            .matches(
                "(?s).*cylinder 3 against cylinder 2: more at [^\n]*; average of the lifts: flows more,"
                    + " \\+.*"),
        text.out());
    assertFalse(
        text.out().matches("(?s).*cylinder 3 against cylinder 1: (more|less) at.*"), text.out());
    JsonNode json =
        new ObjectMapper()
            .readTree(Called.with("compare", one, two, three, "--ports", "--json").out());
    assertEquals(3, json.get("ports").size());
    assertEquals(3, json.get("pairs").size());
    assertEquals("loss", json.at("/pairs/0/comparison/whole_curve/outcome").asText());
    Called alone = Called.with("compare", one, "--ports");
    assertEquals(4, alone.code());
    assertTrue(alone.err().contains("two ports"), alone.err());
  }

  @Test
  void eachPortFromItsOwnBaseline() throws IOException {
    Called text =
        Called.with(
            "compare",
            port("b1", "cylinder 1", 1),
            port("b2", "cylinder 2", 0.9),
            "--after",
            port("a2", "cylinder 2", 0.95),
            port("a1", "cylinder 1", 1),
            "--ports");
    assertEquals(0, text.code(), text.err());
    assertTrue(
        text.out()
            .matches(
                "(?s).*cylinder 2: Gains [^\n]*\n  Average of these 12 lifts [^\n]*: gain, \\+.*"),
        text.out());
    assertFalse(text.out().contains("cylinder 1: Gains"), text.out());
  }

  private Path way(String name, Direction direction, DoubleUnaryOperator factor)
      throws IOException {
    TestCurve test = bench.run(name, Optional.empty(), factor);
    Plan p = test.plan();
    Plan.Aim aim = new Plan.Aim(direction, p.testPressurePa(), p.aimBand(), p.shortPressure());
    Plan plan =
        new Plan(p.subject(), p.setUp(), aim, p.ladder(), p.keeping(), p.range(), p.shown());
    return InventedFolders.write(temp.resolve(name), with(test, plan), true, DAY);
  }

  private static TestCurve with(TestCurve test, Plan plan) {
    return new TestCurve(
        test.name(),
        test.bench(),
        test.calibration(),
        test.repeatability(),
        plan,
        test.room(),
        test.health(),
        test.points());
  }

  /** Flow lost at high lift, air as calm as before: the other way tells turn from section. */
  @Test
  void theOtherDirectionSettlesWhatTheCurveAloneCannot() throws IOException {
    DoubleUnaryOperator same = lift -> 1;
    DoubleUnaryOperator loses = lift -> lift > 8.5e-3 ? 0.93 : 1;
    Path before = way("s1", Direction.SUCTION, same);
    Path after = way("s2", Direction.SUCTION, loses);
    Path blownBefore = way("b1", Direction.BLOWING, same);
    Path blownAfter = way("b2", Direction.BLOWING, same);
    Path blownLoses = way("b3", Direction.BLOWING, loses);
    assertTrue(kinds(before, "--after", after).contains("loses at high lift"), "the curve alone");
    List<String> ofTheTurn =
        kinds(before, "--after", after, "--other-direction", blownBefore, blownAfter);
    assertTrue(ofTheTurn.contains("likely short side"), ofTheTurn.toString());
    List<String> ofASection =
        kinds(before, "--after", after, "--other-direction", blownBefore, blownLoses);
    assertFalse(ofASection.contains("likely short side"), ofASection.toString());
    assertTrue(ofASection.contains("loses at high lift"), ofASection.toString());
  }

  @Test
  void aControlThatIsNoneIsRefused() throws IOException {
    Path before = way("s1", Direction.SUCTION, lift -> 1);
    Path after = way("s2", Direction.SUCTION, lift -> 1);
    Called sameWay =
        Called.with("compare", before, "--after", after, "--other-direction", before, after);
    assertEquals(4, sameWay.code(), sameWay.err());
    assertTrue(sameWay.err().contains("suction like the tests"), sameWay.err());
    Called one = Called.with("compare", before, "--after", after, "--other-direction", after);
    assertEquals(2, one.code(), one.err());
    Called alone = Called.with("compare", before, "--ports", "--other-direction", before, after);
    assertEquals(2, alone.code(), alone.err());
    assertTrue(alone.err().contains("is a control for BEFORE"), alone.err());
  }

  private static List<String> kinds(Object... words) throws IOException {
    List<Object> all = new ArrayList<>(List.of("compare"));
    all.addAll(List.of(words));
    all.add("--json");
    Called called = Called.with(all.toArray());
    assertEquals(0, called.code(), called.err());
    List<String> kinds = new ArrayList<>();
    new ObjectMapper()
        .readTree(called.out())
        .get("findings")
        .forEach(finding -> kinds.add(finding.get("kind").asText()));
    return kinds;
  }

  private Path curve(String more) throws IOException {
    return Files.writeString(
        temp.resolve("catalogue.json"),
        "{\"meniscus\": \"curve/1\", \"name\": \"catalogue of the casting\", \"units\":"
            + " {\"lift\": \"mm\", \"flow\": \"cfm\", \"pressure\": \"inH2O\"}, "
            + more
            + "\"points\": [{\"lift\": 2, \"flow\": 60}, {\"lift\": 6, \"flow\": 150},"
            + " {\"lift\": 10, \"flow\": 190}]}");
  }

  @Test
  void aCurveFromElsewhereIsComparedWithoutAnOutcome() throws IOException {
    Path test = port("here", "cylinder 1", 1);
    Called text = Called.with("compare", test, "--elsewhere", curve(""));
    assertEquals(0, text.code(), text.err());
    assertTrue(text.out().contains("No outcome"), text.out());
    assertTrue(text.out().contains("test pressure is not known"), text.out());
    JsonNode json =
        new ObjectMapper()
            .readTree(
                Called.with(
                        "compare",
                        test,
                        "--elsewhere",
                        curve("\"test_pressure\": \"7 inH2O\", \"within\": \"3 %\", "),
                        "--json")
                    .out());
    // Lifts 2 to 10 mm of 1 to 12; by the plain root 7 inH2O doubles to 28.
    assertEquals(9, json.get("lifts").size());
    JsonNode first = json.get("lifts").get(0);
    assertEquals(120, first.get("elsewhere").asDouble(), 0.01);
    assertTrue(first.get("outcome").isNull());
    assertFalse(first.get("interpolated").asBoolean());
    assertTrue(first.get("u95_percent").asDouble() > 3);
    JsonNode second = json.get("lifts").get(1);
    assertEquals(2 * (60 + 90 / 4.0), second.get("elsewhere").asDouble(), 0.02);
    assertTrue(second.get("interpolated").asBoolean());
    assertTrue(second.get("difference_percent").isNumber(), "one step from its point at 2 mm");
    // Between its points at 2 and 6 mm a straight line is no measurement.
    JsonNode middle = json.get("lifts").get(2);
    assertEquals(4, middle.get("lift").asDouble(), 1e-9);
    assertTrue(middle.get("difference_percent").isNull(), middle.toString());
    assertTrue(middle.get("u95_percent").isNull());
    assertTrue(text.out().contains("not said: its nearest points"), text.out());
  }

  @Test
  void badCurvesAndCamsAreRefusedByFileAndPlace() throws IOException {
    Path test = port("here", "cylinder 1", 1);
    Called unknown = Called.with("compare", test, "--elsewhere", curve("\"presure\": 1, "));
    assertEquals(4, unknown.code());
    assertTrue(unknown.err().contains("presure"), unknown.err());
    Path out = temp.resolve("r.html");
    Path cam = Files.writeString(temp.resolve("cam.csv"), "crank (deg),lift (mm)\n0,0\n10,x\n");
    Called bad = Called.with("report", test, "--cam", cam, "--out", out);
    assertEquals(4, bad.code());
    assertTrue(bad.err().contains("cam.csv, line 3"), bad.err());
    Files.writeString(cam, "crank,lift\n0,0\n");
    assertTrue(Called.with("report", test, "--cam", cam, "--out", out).err().contains("lift (mm)"));
    assertFalse(Files.exists(out));
    assertEquals(2, Called.with("compare", test).code());
    assertEquals(2, Called.with("compare", test, "--ports", "--elsewhere", curve("")).code());
  }

  private Path cam() throws IOException {
    StringBuilder csv = new StringBuilder("crank (deg),lift (mm)\n");
    for (int i = 0; i <= 120; i++) {
      csv.append(2 * i - 120).append(',').append(9 * Math.sin(Math.PI * i / 120)).append('\n');
    }
    return Files.writeString(temp.resolve("cam.csv"), csv.toString());
  }

  @Test
  void theReportSeesCurvesThroughACamAndSetsExhaustAgainstIntake() throws IOException {
    Path intake = port("in", "cylinder 1", 1);
    Path exhaust = port("ex", "cylinder 1", PortKind.EXHAUST, 0.75);
    Path out = temp.resolve("r.html");
    Called called =
        Called.with(
            "report", intake, exhaust, "--cam", cam(), "--elsewhere", curve(""), "--out", out);
    assertEquals(0, called.code(), called.err());
    String html = Files.readString(out);
    assertTrue(html.contains("mean flow through the cam"));
    assertTrue(html.contains("over 240° of crank, up to 9.00 mm"), "degrees and lift");
    assertTrue(html.contains("Exhaust to intake: cylinder 1 to cylinder 1: 7"), "ratio");
    assertTrue(html.contains("elsewhere: catalogue of the cast"));
    assertFalse(html.contains("Rules of thumb"), "off unless asked for");
    Called ruled = Called.with("report", intake, exhaust, "--rules-of-thumb", "--out", out);
    assertEquals(0, ruled.code(), ruled.err());
    String rules = Files.readString(out);
    assertTrue(rules.contains("Common practice, no source"));
    assertTrue(rules.contains("75 to 80 %"));
  }

  /** Ten inches of water: speeds go with the root of the pressure, √(10/28) of 90 and of 105. */
  @Test
  void theRuleOfSpeedsIsScaledToTheTestPressure() throws IOException {
    TestCurve test = bench.run("low", Optional.empty(), lift -> 1);
    Plan p = test.plan();
    Plan.Reference at28 = p.reference();
    Plan.Reference at10 =
        new Plan.Reference(
            at28.temperatureK(),
            at28.pressurePa(),
            at28.relativeHumidity(),
            Unit.INCH_OF_WATER.toSi(10));
    Plan.Shown shown = new Plan.Shown(p.units(), at10);
    Plan plan =
        new Plan(p.subject(), p.setUp(), p.aim(), p.ladder(), p.keeping(), p.range(), shown);
    Path folder = InventedFolders.write(temp.resolve("low"), with(test, plan), true, DAY);
    Path out = temp.resolve("low.html");
    Called called = Called.with("report", folder, "--rules-of-thumb", "--out", out);
    assertEquals(0, called.code(), called.err());
    String rules = Files.readString(out);
    assertTrue(rules.contains("53.8 m/s") && rules.contains("62.7 m/s"), rules);
  }

  @Test
  void aComparisonTellsProgramsTheSummaries() throws IOException {
    JsonNode json =
        new ObjectMapper()
            .readTree(
                Called.with(
                        "compare",
                        port("b", "cylinder 1", 1),
                        "--after",
                        port("a", "cylinder 1", 1.05),
                        "--cam",
                        cam(),
                        "--json")
                    .out());
    JsonNode after = json.at("/summary/after/0");
    for (String number :
        List.of(
            "mean_flow",
            "highest_flow",
            "flow_per_valve_area_m_per_s",
            "velocity_at_smallest_area_m_per_s",
            "flow_through_cam")) {
      assertTrue(after.path(number).asDouble() > 0, number + " in " + after);
      assertTrue(after.path(number + "_u95").asDouble() > 0, number + "_u95");
    }
    assertEquals(240, after.get("cam_open_degrees").asDouble(), 1e-9);
  }
}
