package meniscus.recorder.cli;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Old results in: tables as spreadsheets save them, and what becomes of such a curve. */
class ImportCommandTest {

  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Charset OLD = Charset.forName("windows-1252");

  /** The plain form; all others say the same. */
  private static final String PLAIN =
      "lift (mm),flow (L/s),test pressure (kPa)\n"
          + "2,30.5,7\n4,61.25,7\n6,88,7\n8,107.5,7\n10,118.125,7\n";

  @TempDir private Path temp;

  private int written;

  private Called imported(byte[] bytes, Object... more) throws IOException {
    Path csv = Files.write(temp.resolve("old.csv"), bytes);
    List<Object> words =
        new ArrayList<>(List.of("import", csv, "--into", temp.resolve("old-" + ++written)));
    words.addAll(List.of(more));
    return Called.with(words.toArray());
  }

  private Called imported(String text, Object... more) throws IOException {
    return imported(text.getBytes(StandardCharsets.UTF_8), more);
  }

  private JsonNode curve() throws IOException {
    return JSON.readTree(temp.resolve("old-" + written).resolve("curve.json").toFile());
  }

  private static byte[] marked(byte[] text, int... mark) {
    byte[] all = new byte[mark.length + text.length];
    for (int i = 0; i < mark.length; i++) {
      all[i] = (byte) mark[i];
    }
    System.arraycopy(text, 0, all, mark.length, text.length);
    return all;
  }

  /** From memory of what spreadsheets in several countries save; quotes as RFC 4180 has them. */
  @Test
  void everySpreadsheetsOwnFormSaysTheSame() throws IOException {
    assertEquals(0, imported(PLAIN).code());
    JsonNode plain = curve();
    assertEquals(5, plain.get("points").size());
    assertEquals(61.25, plain.get("points").get(1).get("flow").asDouble());
    assertEquals("7000 Pa", plain.get("test_pressure").asText());
    String comma = PLAIN.replace(',', ';').replace('.', ',');
    List<byte[]> forms =
        List.of(
            PLAIN.replace("\n", "\r\n").getBytes(StandardCharsets.UTF_8),
            marked(PLAIN.getBytes(StandardCharsets.UTF_8), 0xEF, 0xBB, 0xBF),
            comma.getBytes(OLD),
            ("sep=;\r\n" + comma.replace("\n", "\r\n")).getBytes(StandardCharsets.UTF_8),
            marked(comma.replace(';', '\t').getBytes(StandardCharsets.UTF_16LE), 0xFF, 0xFE),
            marked(PLAIN.getBytes(StandardCharsets.UTF_16BE), 0xFE, 0xFF),
            "\"lift (mm)\",\"flow (L/s)\",\"test pressure (kPa)\",\"said, \"\"then\"\"\"\n2,\"30,5\",7,\"a\nb\"\n4,\"61,25\",7,\n6,88,7,\n8,\"107,5\",7,\n10,\"118,125\",7,\n"
                .getBytes(StandardCharsets.UTF_8),
            ("\n;;\n" + comma.replace("10;118,125;7", "10 ;118,125 ; 7\u00a0;") + ";;;\n\n")
                .getBytes(OLD),
            "Prüfung;Test pressure [Pa];LIFT_mm;Flow, L/s\nä;7000;10;118,125\n;7e3;8;107,5\n;7000;6;88\n;7000;4;61,25\n;7000;2;30,5\n"
                .getBytes(OLD));
    for (byte[] form : forms) {
      Called called = imported(form);
      String text = new String(form, OLD);
      assertEquals(0, called.code(), called.err() + "\n" + text);
      assertEquals(plain.get("points"), curve().get("points"), text);
      assertArrayEquals(
          form, Files.readAllBytes(temp.resolve("old-" + written).resolve("original.csv")));
    }
  }

  @Test
  void columnsAndUnitsAreSaidOrAskedFor() throws IOException {
    String two = "Hub;Nr. 1;Nr. 2\n0;0;0\n0,1;60;62\n0,2;120;\n0,3;158;161\n";
    Called unknown = imported(two, "--units", "inch");
    assertEquals(4, unknown.code());
    assertTrue(unknown.err().contains("--lift-column"), unknown.err());
    assertTrue(unknown.err().contains("\"Nr. 2\""), unknown.err());
    Called named =
        imported(
            two, "--units", "inch", "--lift-column", "hub", "--flow-column", "Nr. 2", "--json");
    assertEquals(0, named.code(), named.err());
    assertEquals(2, JSON.readTree(named.out()).get("left_out").asInt());
    assertEquals(
        "[{\"lift\":0.1,\"flow\":62},{\"lift\":0.3,\"flow\":161}]",
        curve().get("points").toString());
    JsonNode byName = curve();
    assertEquals(
        0, imported(two, "--units", "inch", "--lift-column", "1", "--flow-column", "3").code());
    assertEquals(byName.get("points"), curve().get("points"));
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    int code =
        MeniscusCommand.run(
            new PrintStream(new ByteArrayOutputStream(), true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            new ByteArrayInputStream("inches\nIN\ncfm\n".getBytes(StandardCharsets.UTF_8)),
            "import",
            temp.resolve("old.csv").toString(),
            "--into",
            temp.resolve("old-" + ++written).toString(),
            "--lift-column",
            "Hub",
            "--flow-column",
            "Nr. 2");
    assertEquals(0, code, err.toString(StandardCharsets.UTF_8));
    assertTrue(err.toString(StandardCharsets.UTF_8).contains("In which unit is the lift?"));
    assertEquals(byName.get("points"), curve().get("points"));
    assertEquals(2, imported("lift,flow\n1,2\n").code(), "nobody answers");
  }

  @Test
  void flowsOfRowsWithTheirOwnPressureAreMovedToTheFirst() throws IOException {
    assertEquals(
        0, imported("lift mm,flow L/s,depression inH2O\n2,30,28\n4,50,25\n", "--name", "x").code());
    // Q ∝ √Δp: the plain root of 28/25.
    assertEquals(
        50 * Math.sqrt(28 / 25.0), curve().get("points").get(1).get("flow").asDouble(), 1e-9);
    assertEquals("28 inH2O", curve().get("test_pressure").asText().replace(".0", ""));
  }

  private void refused(String where, String text) throws IOException {
    Called called = imported(text, "--units", "metric");
    assertEquals(4, called.code(), text);
    assertTrue(called.err().contains(where), where + ": " + called.err());
    assertFalse(Files.exists(temp.resolve("old-" + written)), text);
  }

  @Test
  void liftsThatAnOrdinaryLadderTellsApartAreTwo() throws IOException {
    assertEquals(0, imported("lift,flow\n2,30\n2.011,31\n4,32\n", "--units", "metric").code());
  }

  @Test
  void whatIsWrongIsSaidWithLineAndColumn() throws IOException {
    refused("line 3, column 2 (\"flow\")", "lift,flow\n2,30\n4,much\n");
    refused("line 2, column 1 (\"lift\")", "lift,flow\n-2,30\n");
    refused("line 3, column 2", "lift,flow\n2,30\n4,0\n");
    refused("the lift of line 2 is there twice", "lift,flow\n2,30\n4,31\n2.0,32\n");
    // The second one is the lower one, by a thousandth of a millimetre: still the same lift.
    refused("line 4, column 1", "lift,flow\n2,30\n4,31\n1.999,32\n");
    refused("the lift of line 2 is there twice", "lift,flow\n2,30\n4,31\n1.999,32\n");
    refused("line 4, column 1", "lift,flow\n2,30\n4,31\n2.0,32\n");
    refused("line 3, column 2", "lift;flow\n2,5;30\n4;1.234,5\n");
    refused("mark for thousands", "lift;flow\n2,5;30\n4;1 234\n");
    refused("mark for thousands", "lift,flow\n2.5,30\n4,\"1'234\"\n");
    refused("--decimal comma", "lift;flow\n2;1,234\n4;2,345\n");
    refused("--decimal comma", "lift;flow\n2,5;100.5\n");
    refused("one column only", "lift\n2\n");
    refused("has no rows", "lift,flow\n");
    refused("one column only", "");
    refused("more than one column", "lift,flow,flow\n2,30,31\n");
    refused("is no text", "l\0i\0f\0t\0");
    refused("cannot be read as a table", "lift,flow\n2,\"30\n");
    refused("no row with a lift and a flow", "lift,flow\n,\n0,0\n");
    refused("is no number", "lift,flow\n2,=1+1\n");
    refused("is no number", "lift,flow\n2,1e9999\n");
    refused("is no number", "lift,flow\n2,NaN\n");
    refused("rows", "lift,flow\n" + "1,1\n".repeat(3_000));
    assertEquals(
        0, imported("lift;flow\n2;1,234\n", "--units", "metric", "--decimal", "comma").code());
    assertEquals(1.234, curve().get("points").get(0).get("flow").asDouble());
    assertEquals(4, imported("a".repeat(2 << 20)).code());
    assertEquals(4, Called.with("import", temp.resolve("none.csv"), "--into", temp).code());
    assertEquals(
        4,
        Called.with("import", temp.resolve("old.csv"), "--into", temp.resolve("old.csv")).code());
  }

  @Test
  void suchACurveIsListedAndDrawnAndNeverJudged() throws IOException {
    Path tests = temp.resolve("tests");
    InventedBench bench = new InventedBench(3, InventedBench.Errors.USUAL);
    Path after =
        InventedFolders.write(
            tests.resolve("after"),
            InventedBench.of(
                new Plan.Part("Heron", "", "intake 1", "", ""),
                PortKind.INTAKE,
                List.of(),
                bench.run("after", Optional.empty(), lift -> 1)),
            true,
            Instant.parse("2031-05-06T07:08:09Z"));
    Path csv = Files.writeString(temp.resolve("old.csv"), PLAIN);
    Path old = tests.resolve("heron-1998");
    Called made =
        Called.with(
            "import",
            csv,
            "--into",
            old,
            "--on",
            "1998-05-06",
            "--head",
            "Heron",
            "--port",
            "intake 1",
            "--port-kind",
            "intake");
    assertEquals(0, made.code(), made.err());
    assertTrue(made.out().contains("interval unknown"), made.out());

    String list = Called.with("export", tests, "--list").out();
    assertTrue(list.contains("1998-05-06  heron-1998"), list);
    assertTrue(list.contains("typed from elsewhere, interval unknown"), list);
    assertTrue(
        Called.with("export", tests, "--list", "--part", "heron intake").out().contains("98"));
    Called points = Called.with("export", tests);
    assertEquals(0, points.code(), points.err());
    assertFalse(points.out().contains("1998"), "no point of it among measured ones");

    JsonNode one = JSON.readTree(Called.with("compare", old, "--after", after, "--json").out());
    JsonNode other = JSON.readTree(Called.with("compare", after, "--after", old, "--json").out());
    assertEquals(one, other);
    assertTrue(one.get("lifts").size() > 2);
    one.get("lifts").forEach(lift -> assertTrue(lift.get("outcome").isNull()));
    assertEquals(
        one, JSON.readTree(Called.with("compare", after, "--typed-curve", old, "--json").out()));
    assertEquals(2, Called.with("compare", old, after, "--ports").code());

    Path page = temp.resolve("page.html");
    assertEquals(0, Called.with("report", old, after, "--out", page).code());
    assertTrue(Files.readString(page).contains("elsewhere: old.csv"));
    assertEquals(2, Called.with("report", old, "--out", page).code());
    Called history = Called.with("report", "--history", tests);
    assertEquals(0, history.code(), history.err());
    assertTrue(history.out().contains("heron-1998 (1998-05-06)"), history.out());
    assertEquals(0, Called.with("report", "--history", tests, "--out", page).code());
    assertTrue(Files.readString(page).contains("elsewhere: old.csv"));
    assertTrue(Files.readString(page).contains("listed, not judged"));

    for (String word : List.of("recompute", "note")) {
      Called refused = Called.with(word, old);
      assertEquals(4, refused.code());
      assertTrue(refused.err().contains("typed from elsewhere"), refused.err());
    }
    Path zip = temp.resolve("tests.zip");
    assertEquals(0, Called.with("pack", tests, "--into", zip).code());
    assertEquals(list, Called.with("export", zip, "--list").out());
    assertEquals(
        Called.with("compare", old, "--after", after).out(),
        Called.with("compare", zip.resolve("heron-1998"), "--after", zip.resolve("after")).out());
  }

  /** A chord between far points is a guess: no percentage beyond one lift step of a point. */
  @Test
  void farFromItsPointsNoPercentageIsSaid() throws IOException {
    Path after =
        InventedFolders.write(
            temp.resolve("after"),
            InventedFolders.plain("after"),
            true,
            Instant.parse("2031-05-06T07:08:09Z"));
    assertEquals(0, imported("lift (mm),flow (L/s)\n1,20\n11,130\n").code());
    JsonNode lifts =
        JSON.readTree(
                Called.with("compare", temp.resolve("old-" + written), "--after", after, "--json")
                    .out())
            .get("lifts");
    long said = 0;
    for (JsonNode lift : lifts) {
      said += lift.get("difference_percent").isNull() ? 0 : 1;
    }
    assertTrue(lifts.size() > 6 && said > 0 && said <= 4, lifts.toString());
  }
}
