package meniscus.recorder.file;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.recorder.cli.Called;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What the commands of bench, tests and records print with {@code --json}, on the simulated bench
 * and on invented folders, is what the schemas in docs/schemas say of it.
 */
@Tag("long")
class BenchFormsTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");

  @TempDir private Path temp;

  private Path demo(String name) throws IOException {
    try (InputStream in = getClass().getResourceAsStream("/meniscus/recorder/demo/" + name)) {
      String text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      return Files.writeString(temp.resolve(name), text);
    }
  }

  @Test
  void aBenchFromItsZerosToATest() throws IOException {
    Path bench = demo("bench.json");
    Path plates = demo("plates.json");
    Path plan = demo("plan.json");
    says("look-plan", "look", "--bench", bench, "--plan", plan, "--seconds", "1", "--json");
    says("listen", "listen", "--bench", bench, "--seconds", "1", "--quick", "--json");
    says("zero", "zero", "--bench", bench, "--quick", "--json");
    says("gauges", "gauges", "--bench", bench, "--quick", "--json");
    Object[] drawing = {"--bench", bench, "--direction", "suction", "--quick", "--json"};
    says("leakage", with(drawing, "leakage"));
    says("calibrate", with(drawing, "calibrate", "--plates", plates));
    says("check", with(drawing, "check", "--plates", plates));
    says("calm", with(drawing, "calm", "--plates", plates, "--plate", "44", "--seconds", "20"));
    says("health", "health", "--bench", bench, "--json");
    Files.writeString(
        plan,
        Files.readString(plan)
            .replace("{\"from\": 0.05, \"to\": 0.6, \"step\": 0.05}", "{\"lifts\": [0.2, 0.4]}"));
    says(
        "repeat",
        "repeat",
        "--bench",
        bench,
        "--plan",
        plan,
        "--fittings",
        "3",
        "--quick",
        "--json");
    Called test =
        Called.with(
            "record",
            "--bench",
            bench,
            "--plan",
            plan,
            "--out",
            temp.resolve("test"),
            "--hands-free",
            "--quick",
            "--json");
    assertTrue(test.code() == 0 || test.code() == 5, test.err());
    fits("record", test.out());
    assertTrue(test.out().contains("\"event\":\"finished\""), test.out());
    says("recompute", "recompute", temp.resolve("test"), "--budget", "--json");
  }

  @Test
  void whatIsRefusedIsOfTheSameForm() throws IOException {
    Path bench = demo("bench.json");
    Called early =
        Called.with(
            "leakage",
            "--bench",
            bench,
            "--direction",
            "suction",
            "--limit",
            "0.001 cfm",
            "--quick",
            "--json");
    assertFalse(early.out().isBlank(), early.err());
    fits("leakage", early.out());
  }

  @Test
  void testsAndWhatBecameOfThem() throws IOException {
    Path tests = temp.resolve("tests");
    InventedBench bench = new InventedBench(3, InventedBench.Errors.USUAL);
    Path before =
        InventedFolders.write(
            tests.resolve("before"), bench.run("before", Optional.empty(), lift -> 1), true, DAY);
    Path after =
        InventedFolders.write(
            tests.resolve("after"),
            InventedBench.of(
                new Plan.Part("Heron", "", "intake 1", "", ""),
                PortKind.INTAKE,
                List.of(
                    new Plan.ChangeNote(
                        "opened", "bowl", OptionalDouble.of(0.024), OptionalDouble.empty())),
                bench.run("after", Optional.empty(), lift -> 1.02)),
            true,
            DAY.plusSeconds(86_400));
    says("compare", "compare", before, "--after", after, "--margin", "1%", "--json");
    says("compare-ports", "compare", before, after, "--ports", "--json");
    Path elsewhere =
        InventedFolders.write(
            temp.resolve("elsewhere"),
            new InventedBench(4, InventedBench.Errors.USUAL)
                .run("elsewhere", Optional.empty(), lift -> 1),
            true,
            DAY.plusSeconds(100_000),
            Map.of(
                "bench.json",
                InventedFolders.bench("North", "5d1c2f6e-90ab-4c3d-8e7f-112233445566", true)));
    says("compare-benches", "compare", before, elsewhere, "--benches", "--json");
    Path csv = Files.writeString(temp.resolve("old.csv"), "lift (mm),flow (L/s)\n2,30\n4,60\n");
    says("import", "import", csv, "--into", tests.resolve("old"), "--json");
    says("history", "report", "--history", tests, "--json");
    says("export", "export", tests, "--json");
    says("export", "export", tests, "--list", "--json");
    says("pack", "pack", tests, "--into", temp.resolve("tests.zip"), "--json");
    says("note", "note", before, "cutter chattered", "--json");
  }

  @Test
  void whatIsPluggedInAndWhatASheetReads() {
    says("look", "look", "--json");
    Path recording = Path.of("..", "docs", "sheets", "recordings", "number-and-unit.txt");
    assertTrue(Files.exists(recording), recording.toString());
    Called heard =
        Called.with("listen", "--sheet", "number-and-unit", "--on", "play:" + recording, "--json");
    assertEquals(0, heard.code(), heard.err());
    heard
        .out()
        .lines()
        .forEach(line -> assertEquals(List.of(), Schema.of("listen-sheet-1").complaints(line)));
    assertTrue(heard.out().contains("\"frame\""), heard.out());
  }

  private static Object[] with(Object[] usual, Object... own) {
    Object[] all = new Object[own.length + usual.length];
    System.arraycopy(own, 0, all, 0, own.length);
    System.arraycopy(usual, 0, all, own.length, usual.length);
    return all;
  }

  /** Done, perhaps with something to doubt. */
  private static void says(String form, Object... words) {
    Called called = Called.with(words);
    assertTrue(called.code() == 0 || called.code() == 5, form + ": " + called.err());
    fits(form, called.out());
  }

  private static void fits(String form, String lines) {
    assertFalse(lines.isBlank());
    Schema schema = Schema.of(form + "-1");
    for (String line : lines.lines().toList()) {
      assertTrue(line.startsWith("{\"meniscus\":\"" + form + "/1\","), line);
      assertEquals(List.of(), schema.complaints(line), line);
    }
  }
}
