package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Pattern;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What is said to somebody at the bench: in the units that were chosen, without what says nothing.
 */
class WordsAtTheBenchTest {

  private static final Pattern PASCALS = Pattern.compile("[0-9] k?Pa\\b");
  private static final Pattern NO_NUMBER = Pattern.compile("NaN|Infinity|[0-9]e-[0-9]");
  private static final Pattern MANY_DIGITS = Pattern.compile("[0-9]\\.[0-9]{7}");

  @TempDir Path temp;

  private Path files;

  @BeforeEach
  void files() throws IOException {
    files = Recorder.files(temp);
  }

  private Ran record(Path out) {
    return Recorder.run(
        "",
        "record",
        "--bench",
        files.resolve("bench.json"),
        "--plan",
        files.resolve("plan.json"),
        "--out",
        out,
        "--hands-free",
        "--quick");
  }

  @Test
  void aMetricBenchSpeaksInTheUnitsOfThePlan() throws IOException {
    Recorder.change(files.resolve("bench.json"), "\"units\": \"inch\"", "\"units\": \"metric\"");
    Ran ran = record(temp.resolve("test"));
    String said = ran.out() + ran.err();
    assertTrue(said.contains("inH2O"), said);
    assertFalse(PASCALS.matcher(said).find(), said);
    assertFalse(NO_NUMBER.matcher(said).find(), said);
    assertFalse(MANY_DIGITS.matcher(said).find(), said);
  }

  @Test
  void aFolderWithOtherFilesIsNoTestsFolder() throws IOException {
    Path out = Files.createDirectory(temp.resolve("holiday"));
    Path photo = Files.writeString(out.resolve("photo.txt"), "sea");
    Ran ran = record(out);
    assertTrue(ran.exitCode() != 0, ran.err());
    assertTrue(ran.err().contains("holds other things (photo.txt)"), ran.err());
    assertEquals("sea", Files.readString(photo));
    assertFalse(Files.exists(out.resolve("datapackage.json")));
  }

  @Test
  void aZeroLeavesWhatAPersonTypedAsItWas() throws IOException {
    Path bench = files.resolve("bench.json");
    Recorder.change(bench, "\"altitude\": \"130 m\"", "\"altitude\": \"75 m\"");
    Ran ran = Recorder.run("", "zero", "--bench", bench, "--quick");
    assertEquals(0, ran.exitCode(), ran.err());
    assertTrue(Files.readString(bench).contains("\"75 m\""), Files.readString(bench));
    assertTrue(Files.readString(bench).contains("\"zeros\""), "and the zero is there");
  }
}
