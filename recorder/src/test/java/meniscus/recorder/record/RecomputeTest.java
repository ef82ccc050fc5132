package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A recorded test worked out again, as it was and with a newer bench file. */
class RecomputeTest {

  @TempDir Path temp;

  private Path files;
  private Path out;

  @BeforeEach
  void recordOneRung() throws IOException {
    files = Recorder.files(temp);
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.2]");
    out = temp.resolve("tests").resolve("intake-1");
    Recorder.record(files, out, "", "--hands-free");
  }

  @Test
  void aNewerBenchShowsOldAndNewSideBySideAndLeavesTheFolderAlone() throws IOException {
    Map<Integer, Double> before = Recorder.flows(out);
    Path newer = temp.resolve("newer.json");
    Files.writeString(
        newer,
        Files.readString(files.resolve("bench.json"))
            .replace("\"value\": 0.6,", "\"value\": 0.606,"));
    Ran ran = Recorder.run("", "recompute", out, "--bench", newer, "--json");
    assertTrue(ran.exitCode() == 0 || ran.exitCode() == 5, ran.err());
    JsonNode json = ran.events().get(0);
    assertFalse(json.get("same").asBoolean());
    JsonNode point = json.get("points").get(0);
    assertEquals(before.get(1), point.get("flow_before").asDouble(), 1e-9);
    // The element's flow is proportional to its coefficient.
    assertEquals(1.01 * before.get(1), point.get("flow").asDouble(), 2e-4 * before.get(1));
    Ran told = Recorder.run("", "recompute", out, "--bench", newer);
    assertTrue(told.out().contains("was "), told.out());
    assertEquals(before, Recorder.flows(out));
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
  }

  @Test
  void aFolderWithAnotherBenchFileInItIsRefusedByThatFile() throws IOException {
    Path bench = out.resolve("bench.json");
    Files.writeString(bench, Files.readString(bench).replace("0.6,", "0.606,"));
    Ran damaged = Recorder.run("", "recompute", out);
    assertEquals(4, damaged.exitCode());
    assertTrue(damaged.err().contains("bench.json"), damaged.err());
  }
}
