package meniscus.recorder.upkeep;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.HealthEntry;
import meniscus.core.flow.Direction;
import meniscus.recorder.file.BenchFile;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Bench health on the command line: epochs, tasks, charts, and what a test then says. */
class HealthCommandTest {

  @TempDir private Path folder;
  private Path bench;

  @BeforeEach
  void file() throws IOException {
    bench = folder.resolve("bench.json");
    try (InputStream in = getClass().getResourceAsStream("/meniscus/recorder/record/bench.json")) {
      Files.write(bench, in.readAllBytes());
    }
  }

  private static JsonNode json(Called ran) throws IOException {
    return new ObjectMapper().readTree(ran.out());
  }

  @Test
  void aNewEpochIsWrittenAndAsksForEverythingAgain() throws IOException {
    Called level = Called.run("", "health", "--bench", bench, "--level", "--json");
    assertEquals(0, level.code(), level.err());
    assertFalse(level.out().contains("stands level"), level.out());
    Called moved =
        Called.run("", "health", "--bench", bench, "--new-epoch", "gauge changed", "--json");
    assertEquals(0, moved.code(), moved.err());
    JsonNode told = json(moved);
    assertEquals(2, told.get("epoch").asInt());
    assertEquals("gauge changed", told.get("why").asText());
    assertTrue(told.get("still_to_do").toString().contains("stands level"), moved.out());
    assertEquals(2, BenchFile.read(bench).upkeep().epoch().number());
    assertEquals(1, BenchFile.read(bench).upkeep().health().size(), "the log is kept");
  }

  @Test
  void wrongCausesAreRefusedAndNothingIsWritten() throws IOException {
    String before = Files.readString(bench);
    Called ran = Called.run("", "health", "--bench", bench, "--new-epoch", "painted");
    assertEquals(2, ran.code());
    assertTrue(ran.err().contains("\"moved\" or \"repaired\""), ran.err());
    assertEquals(before, Files.readString(bench));
  }

  @Test
  void theBarometerIsAskedAboutAndCheckedAgainstTheAltitude() throws IOException {
    String text = Files.readString(bench);
    String site =
        "\"site\": {\"altitude\": \"130 m\", \"barometer\": \"station\", \"mains_hz\": 60},";
    assertTrue(text.contains(site), "the bench file of this test");
    assertEquals(
        0, json(Called.run("", "health", "--bench", bench, "--json")).get("remarks").size());
    Files.writeString(bench, text.replace(site, ""));
    Called unknown = Called.run("", "health", "--bench", bench);
    assertTrue(unknown.out().contains("no site.altitude"), unknown.out());
    Files.writeString(
        bench,
        text.replace("\"130 m\"", "\"700 m\"")
            .replaceFirst(
                "\"room_pressure\": \\{[^}]*\\{[^}]*\\}\\s*\\}",
                "\"room_pressure\": {\"typed\": \"1016 hPa\", \"within\": \"3 hPa\"}"));
    Called wrong = Called.run("", "health", "--bench", bench);
    assertTrue(wrong.out().contains("is it a sea-level reading?"), wrong.out() + wrong.err());
  }

  @Test
  void aWanderingBenchIsSaidInWords() throws IOException {
    Bench known = BenchFile.read(bench);
    for (double value : new double[] {1.0002, 0.9999, 1.0001, 1.0, 1.0061}) {
      known = known.with(upkeep -> upkeep.withHealth(check(value)));
    }
    BenchFile.write(bench, known);
    Called ran = Called.run("", "health", "--bench", bench);
    assertEquals(0, ran.code(), ran.err());
    assertTrue(ran.out().contains("plate check of 44, suction, range large: 5 times, "), ran.out());
    assertTrue(ran.out().contains("sigma from the centre"), ran.out());
  }

  private static HealthEntry check(double value) {
    return new HealthEntry(
        Instant.parse("2026-11-20T09:00:00Z"),
        1,
        HealthEntry.Kind.PLATE_CHECK,
        "44",
        Optional.of(Direction.SUCTION),
        Optional.of("large"),
        value,
        1,
        0.001,
        OptionalDouble.of(0.008),
        "");
  }

  @Test
  void aTestInAnEpochWithOpenTasksSaysSoWhenTakenAndWhenRead() throws IOException {
    try (InputStream in = getClass().getResourceAsStream("/meniscus/recorder/record/plan.json")) {
      Files.write(folder.resolve("plan.json"), in.readAllBytes());
    }
    Called.run("", "health", "--bench", bench, "--changed", "moved");
    Path out = folder.resolve("test");
    Called record =
        Called.run(
            "keep\nstop\n",
            "record",
            "--bench",
            bench,
            "--plan",
            folder.resolve("plan.json"),
            "--out",
            out,
            "--quick",
            "--json");
    assertTrue(
        record.out().contains("\"event\":\"upkeep\",\"text\":\"bench health: last changed "),
        record.out());
    Path page = folder.resolve("page.html");
    assertEquals(0, Called.run("", "report", out, "--out", page).code());
    String written = Files.readString(page, StandardCharsets.UTF_8);
    assertTrue(written.contains(" (moved), still to do"), "on the report");
    Called compare = Called.run("", "compare", out, "--after", out, "--json");
    assertTrue(compare.out().contains(" (moved), still to do"), compare.out());
  }
}
