package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A reading of a day and the longest ladder, in a program of 256 MiB in simulated time; and a
 * ladder that is longer than any.
 */
@Tag("long")
class LargestSizesTest {

  private static final int LONGEST_LADDER = 500;
  private static final int DAY_SECONDS = 86_400;

  @TempDir Path temp;
  private Path files;
  private Path out;

  @BeforeEach
  void files() throws IOException {
    files = Recorder.files(temp);
    out = temp.resolve("out");
  }

  private void plan(String lifts, String longest) throws IOException {
    Path plan = files.resolve("plan.json");
    Recorder.change(plan, "{\"lifts\": [0.1, 0.2, 0.3]}", lifts);
    Recorder.change(plan, "\"30 s\"", longest);
  }

  private static String lifts(int count) {
    return IntStream.range(0, count)
        .mapToObj(i -> String.format(Locale.ROOT, "%.6f", 0.05 + 0.4 * i / count))
        .collect(Collectors.joining(", ", "{\"lifts\": [", "]}"));
  }

  @Test
  void aLadderOfTenThousandLiftsIsRefusedInWords() throws IOException {
    plan(lifts(10_000), "\"30 s\"");
    refused("a ladder has from 1 to 500 rungs, not 10000");
    files();
    plan("{\"from\": 0.0001, \"to\": 1, \"step\": 0.0001}", "\"30 s\"");
    refused("a ladder has at most 500 rungs");
  }

  private void refused(String why) {
    Ran ran = Recorder.record(files, out, "", "--hands-free");
    assertEquals(4, ran.exitCode(), ran.err());
    assertTrue(ran.err().contains(why), ran.err());
    assertEquals(1, ran.err().strip().lines().count(), ran.err());
    assertFalse(Files.exists(out));
  }

  @Test
  void aReadingOfAHundredthOfADay() throws Exception {
    reading(DAY_SECONDS / 100);
  }

  @Test
  @Tag("bench")
  void aReadingOfADay() throws Exception {
    reading(DAY_SECONDS);
  }

  private void reading(int seconds) throws Exception {
    // Never as narrow as that.
    plan(lifts(1), "\"" + seconds + " s\", \"target\": \"0.0001 %\"");
    List<JsonNode> kept = recorded();
    assertEquals(1, kept.size());
    assertEquals(seconds, kept.get(0).get("seconds").asDouble(), 1);
  }

  @Test
  @Tag("bench")
  void theLongestLadder() throws Exception {
    plan(lifts(LONGEST_LADDER), "\"1 s\", \"target\": \"20 %\"");
    assertEquals(LONGEST_LADDER, recorded().size());
    Path report = temp.resolve("report.html");
    assertEquals(0, Recorder.run("", "report", out, "--out", report).exitCode());
    assertTrue(Files.size(report) > 0);
  }

  private List<JsonNode> recorded() throws Exception {
    try (RunningProgram program =
        new RunningProgram(
            List.of(),
            files,
            "record",
            "--bench",
            files.resolve("bench.json"),
            "--plan",
            files.resolve("plan.json"),
            "--out",
            out,
            "--hands-free",
            "--quick",
            "--json")) {
      program.await("finished", "");
      int code = program.end();
      assertTrue(code == 0 || code == 5, program.said());
      assertEquals(0, Recorder.run("", "recompute", out).exitCode());
      return program.seen("kept");
    }
  }
}
