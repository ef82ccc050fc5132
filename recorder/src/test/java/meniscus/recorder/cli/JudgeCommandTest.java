package meniscus.recorder.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import meniscus.recorder.cli.terminal.ExitCode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class JudgeCommandTest {

  @TempDir Path folder;

  private final ByteArrayOutputStream out = new ByteArrayOutputStream();
  private final ByteArrayOutputStream err = new ByteArrayOutputStream();

  private int run(String... words) {
    String[] all = new String[words.length + 1];
    all[0] = "judge";
    System.arraycopy(words, 0, all, 1, words.length);
    return MeniscusCommand.run(
        new PrintStream(out, true, StandardCharsets.UTF_8),
        new PrintStream(err, true, StandardCharsets.UTF_8),
        InputStream.nullInputStream(),
        all);
  }

  private List<JsonNode> lines() throws IOException {
    List<JsonNode> lines = new ArrayList<>();
    for (String line : out.toString(StandardCharsets.UTF_8).lines().toList()) {
      lines.add(new ObjectMapper().readTree(line));
    }
    return lines;
  }

  private Path signal(String name, long seed, double level) throws IOException {
    Random random = new Random(seed);
    StringBuilder text = new StringBuilder("time_s,value\n");
    for (int i = 0; i < 3000; i++) {
      text.append(
          String.format(
              Locale.ROOT, "%.2f,%.5f\n", i / 100.0, level * (1 + 0.01 * random.nextGaussian())));
    }
    Path file = folder.resolve(name);
    Files.createDirectories(file.getParent());
    return Files.writeString(file, text, StandardCharsets.UTF_8);
  }

  @Test
  void oneJsonLineAFileWithTheFieldsOfTheContract() throws IOException {
    assertEquals(0, run(signal("a.csv", 1, 20).toString(), "--json"), err.toString());
    JsonNode line = lines().get(0);
    for (String field :
        List.of(
            "file",
            "mean",
            "u95",
            "verdict",
            "from_s",
            "to_s",
            "precise_at_s",
            "effective_samples",
            "seen_to_hz",
            "reasons")) {
      assertTrue(line.has(field), field);
    }
    assertEquals("steady", line.get("verdict").asText());
    assertEquals(20, line.get("mean").asDouble(), 5 * line.get("u95").asDouble());
    assertTrue(line.get("to_s").asDouble() < 25, "stops as soon as it can");
  }

  @Test
  void aFolderMeansItsFilesAndOthersAreJudgedBesideABadOne() throws IOException {
    signal("many/a.csv", 2, 5);
    Files.writeString(
        folder.resolve("many/b.csv"), "time_s,value\n0,1\n0.01,oops\n", StandardCharsets.UTF_8);
    signal("many/c.csv", 3, 7);
    assertEquals(ExitCode.BAD_DATA, run(folder.resolve("many").toString(), "--json"));
    assertEquals(2, lines().size());
    String said = err.toString(StandardCharsets.UTF_8);
    assertTrue(said.contains("b.csv, row 3") && said.contains("oops"), said);
  }

  @Test
  void aCalmFolderIsUsed() throws IOException {
    for (int i = 0; i < 4; i++) {
      signal("calm/" + i + ".csv", 10 + i, 20);
    }
    int code =
        run(
            signal("a.csv", 4, 20).toString(),
            "--json",
            "--calm",
            folder.resolve("calm").toString(),
            "--range",
            "0..30",
            "--target",
            "0.25%");
    assertEquals(0, code, err.toString());
    assertEquals(1, lines().get(0).get("unsteadiness").asDouble(), 0.2);
  }

  @Test
  void missingColumnsAreNamed() throws IOException {
    assertEquals(ExitCode.BAD_DATA, run(signal("a.csv", 5, 1).toString(), "--column", "flow"));
    assertTrue(err.toString().contains("time_s, value"), err.toString());
  }

  @Test
  void aWrongRangeIsWrongUsage() throws IOException {
    assertEquals(ExitCode.WRONG_USAGE, run(signal("a.csv", 6, 1).toString(), "--range", "thirty"));
  }
}
