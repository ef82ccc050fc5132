package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import meniscus.recorder.folder.Seal;
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
  void outOfAPackTheSameDigitsCome() throws IOException {
    Path zip = temp.resolve("intake-1.zip");
    assertEquals(0, Recorder.run("", "pack", out, "--into", zip).exitCode());
    Ran packed = Recorder.run("", "recompute", zip, "--budget");
    assertEquals(0, packed.exitCode(), packed.err());
    assertEquals(Recorder.run("", "recompute", out, "--budget").out(), packed.out());
    assertTrue(packed.out().contains("the same to the last digit"), packed.out());
  }

  /** Changes a file of the folder and the hash that is kept of it. */
  private void forge(String name, String from, String to) throws Exception {
    Path file = out.resolve(name);
    byte[] old = Files.readAllBytes(file);
    Recorder.change(file, from, to);
    byte[] forged = Files.readAllBytes(file);
    Path described = out.resolve("datapackage.json");
    String text = Files.readString(described);
    String changed =
        text.replace(sha256(old), sha256(forged))
            .replaceFirst(
                "(" + sha256(forged) + "\"[^{}]*\"bytes\" *: *)\\d+", "$1" + forged.length)
            .replaceFirst("(\"bytes\" *: *)" + old.length + "\\b", "$1" + forged.length);
    Files.writeString(described, Seal.of(changed));
  }

  private static String sha256(byte[] bytes) throws Exception {
    return java.util.HexFormat.of()
        .formatHex(java.security.MessageDigest.getInstance("SHA-256").digest(bytes));
  }

  @Test
  void aBenchThatNamesACalibrationWhichTheFolderLacksIsRefusedInWords() throws Exception {
    forge(
        "bench.json",
        "\"instruments\"",
        "\"upkeep\": {\"calibrations\": [{\"direction\": \"suction\", \"range\": \"large\", \"at\":"
            + " \"2031-05-06T07:08:09Z\", \"sha256\": \""
            + "ab".repeat(32)
            + "\"}]}, \"instruments\"");
    Ran ran = Recorder.run("", "recompute", out);
    assertEquals(4, ran.exitCode(), ran.err());
    assertTrue(ran.err().contains("calibrations/" + "ab".repeat(32) + ".json"), ran.err());
    assertTrue(ran.err().contains(out.toString()), ran.err());
    assertFalse(ran.err().contains("Exception"), ran.err());
  }

  @Test
  void spoiltNotesAreNamedAndNotesChangedByHandAreSaid() throws IOException {
    Path notes = out.resolve("notes.json");
    Files.writeString(notes, "{\"meniscus\":\"notes/1\",\"notes\":[\"by hand\"]}");
    Ran byHand = Recorder.run("", "recompute", out);
    assertEquals(0, byHand.exitCode(), byHand.err());
    assertTrue(byHand.err().contains("notes.json was changed outside"), byHand.err());
    Files.writeString(notes, "{\"meniscus\":\"notes/1\",\"no");
    Ran spoilt = Recorder.run("", "recompute", out);
    assertEquals(4, spoilt.exitCode());
    assertTrue(spoilt.err().contains("notes.json"), spoilt.err());
    assertTrue(spoilt.err().contains("not touched by it"), spoilt.err());
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
