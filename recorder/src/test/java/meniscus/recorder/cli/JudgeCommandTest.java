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
    return signal(name, seed, level, 0.01);
  }

  private Path signal(String name, long seed, double level, double noise) throws IOException {
    Random random = new Random(seed);
    StringBuilder text = new StringBuilder("time_s,value\n");
    for (int i = 0; i < 3000; i++) {
      text.append(
          String.format(
              Locale.ROOT, "%.2f,%.5f\n", i / 100.0, level * (1 + noise * random.nextGaussian())));
    }
    Path file = folder.resolve(name);
    Files.createDirectories(file.getParent());
    return Files.writeString(file, text, StandardCharsets.UTF_8);
  }

  /** 50 readings a second that arrive so many at a time. */
  private Path grouped(int group) throws IOException {
    Random random = new Random(16);
    StringBuilder text = new StringBuilder("time_s,value\n");
    double[] values = new double[2000];
    for (int i = 0; i < values.length; i++) {
      values[i] = 100 + 0.5 * random.nextGaussian();
      double arrival = (i / group * group + group - 1) / 50.0;
      text.append(String.format(Locale.ROOT, "%.4f,%.4f\n", arrival, values[i]));
    }
    return Files.writeString(folder.resolve("groups-" + group + ".csv"), text);
  }

  @Test
  void readingsThatArriveInGroupsAreJudgedLikeThoseThatArriveOneByOne() throws IOException {
    for (int group : new int[] {1, 2, 3, 4, 10, 25}) {
      assertEquals(0, run(grouped(group).toString(), "--json"), err.toString());
    }
    JsonNode single = lines().get(0);
    assertEquals("steady", single.get("verdict").asText());
    for (JsonNode line : lines()) {
      assertEquals("steady", line.get("verdict").asText(), line.toString());
      assertEquals(single.get("mean").asDouble(), line.get("mean").asDouble(), 0.02);
      assertEquals(1, line.get("u95").asDouble() / single.get("u95").asDouble(), 0.25);
    }
  }

  @Test
  void aValueThatStandsStillToTheLastDecimalThatIsWrittenIsStuck() throws IOException {
    for (String value : List.of("100.0000", "100")) {
      StringBuilder text = new StringBuilder("time_s,value\n");
      for (int i = 0; i < 1500; i++) {
        text.append(String.format(Locale.ROOT, "%.2f,%s\n", i / 50.0, value));
      }
      Path file = Files.writeString(folder.resolve("still-" + value + ".csv"), text);
      assertEquals(0, run(file.toString(), "--json"), err.toString());
    }
    assertEquals("faulty", lines().get(0).get("verdict").asText());
    assertTrue(lines().get(0).get("reasons").toString().contains("stuck"), out.toString());
    assertEquals("steady", lines().get(1).get("verdict").asText(), "its step is 1 %");
  }

  @Test
  void aDecimalCommaIsUnderstoodBetweenSemicolonsAndRefusedBetweenCommas() throws IOException {
    String rows = Files.readString(signal("a.csv", 1, 20));
    Path german =
        Files.writeString(folder.resolve("german.csv"), rows.replace(',', ';').replace('.', ','));
    assertEquals(0, run(folder.resolve("a.csv").toString(), german.toString(), "--json"));
    assertEquals(lines().get(0).get("mean"), lines().get(1).get("mean"));
    Path mixed = Files.writeString(folder.resolve("mixed.csv"), "time_s,value\n0.00,100,1\n");
    assertEquals(4, run(mixed.toString()));
    assertTrue(err.toString().contains("row 2"), err.toString());
    assertTrue(err.toString().contains("write decimals with a point"), err.toString());
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
            "could_hide",
            "mains",
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

  /** A plate alone is known: what is beyond it is rough, never unsteady. */
  @Test
  void rougherThanThePlatesIsRough() throws IOException {
    for (int i = 0; i < 4; i++) {
      signal("calm/" + i + ".csv", 20 + i, 20);
    }
    String rough = signal("rough.csv", 5, 20, 0.03).toString();
    assertEquals(0, run(rough, "--json", "--calm", folder.resolve("calm").toString()));
    JsonNode line = lines().get(0);
    assertEquals("rough", line.get("verdict").asText(), line.toString());
    assertEquals(3, line.get("unsteadiness").asDouble(), 0.4);
    double hidden = line.get("could_hide").asDouble();
    assertTrue(hidden > 0.001 && hidden < 0.02, "could hide " + hidden);
    assertTrue(line.get("mains").isNull());
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

  /** Two levels, each kept a second, are not asked of a gauge that is slower than that. */
  @Test
  void meanAndLagOfTheGaugeAreTold() throws IOException {
    Random random = new Random(17);
    StringBuilder text = new StringBuilder("time_s,value\n");
    double level = 100;
    for (int i = 0; i < 2000; i++) {
      level = random.nextDouble() < 0.02 ? 204 - level : level;
      text.append(
          String.format(Locale.ROOT, "%.2f,%.4f\n", i / 50.0, level + 0.5 * random.nextGaussian()));
    }
    String file = Files.writeString(folder.resolve("jumps.csv"), text).toString();
    assertEquals(0, run(file, "--json"), err.toString());
    assertEquals(0, run(file, "--json", "--gauge-mean", "4 s"), err.toString());
    assertEquals(0, run(file, "--json", "--gauge-lag", "4 s"), err.toString());
    assertEquals("switching", lines().get(0).get("verdict").asText(), out.toString());
    assertEquals("steady", lines().get(1).get("verdict").asText(), out.toString());
    assertEquals("steady", lines().get(2).get("verdict").asText(), out.toString());
    for (String option : List.of("--gauge-mean", "--gauge-lag")) {
      assertEquals(ExitCode.WRONG_USAGE, run(file, option, "-1 s"));
      assertTrue(err.toString(StandardCharsets.UTF_8).contains(option + " -1 s must not be"));
    }
  }
}
