package meniscus.recorder.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedOutputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.zip.GZIPOutputStream;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.steadiness.SignalJudge;
import meniscus.recorder.cli.MeniscusCommand;
import meniscus.recorder.hostile.Onslaught;
import meniscus.recorder.hostile.Spoilt;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Recordings and calm records, spoilt: judged as they are, or refused in words. */
@Tag("long")
class HostileSignalsTest {

  private static final long SEED = 20311129;

  @TempDir Path folder;

  @Test
  void recordings() throws Exception {
    read(10_000, SEED);
  }

  @Test
  @Tag("bench")
  void aMillionRecordings() throws Exception {
    read(Onslaught.FULL, SEED + 1);
  }

  @Test
  void recordingsJudged() throws Exception {
    judge(3_000, SEED + 6);
  }

  @Test
  @Tag("bench")
  void recordingsJudgedAtFullSize() throws Exception {
    judge(Onslaught.FULL / 10, SEED + 7);
  }

  @Test
  void recordingsByTheCommand() throws Exception {
    commands(200, SEED + 2);
  }

  @Test
  @Tag("bench")
  void recordingsByTheCommandAtFullSize() throws Exception {
    commands(Onslaught.FULL / 50, SEED + 3);
  }

  @Test
  void calmRecords() throws Exception {
    calmRecords(1_000, SEED + 4);
  }

  @Test
  @Tag("bench")
  void aMillionCalmRecords() throws Exception {
    calmRecords(Onslaught.FULL, SEED + 5);
  }

  /** Short, so that a fault in any row is reached soon. */
  private static String recording(Random random, int rows) {
    char separator = ",;\t".charAt(random.nextInt(3));
    StringBuilder text = new StringBuilder("time_s" + separator + "value\n");
    for (int i = 0; i < rows; i++) {
      long value = Math.round(1e6 + 1e4 * random.nextGaussian());
      decimal(text, i, 100).append(separator);
      decimal(text, value, 100_000).append('\n');
    }
    return text.toString();
  }

  /** Appends a number of so many parts with all its digits; for 307 of 100 parts: 3.07. */
  private static StringBuilder decimal(StringBuilder text, long number, int parts) {
    int start = text.append(number / parts).append('.').length();
    text.append(parts + number % parts);
    return text.deleteCharAt(start);
  }

  private void read(int cases, long seed) throws Exception {
    recordings("recordings", cases, seed, file -> file.read((seconds, value) -> true));
  }

  private void judge(int cases, long seed) throws Exception {
    recordings(
        "recordings judged",
        cases,
        seed,
        file -> {
          SignalJudge judge = new SignalJudge(JudgeSettings.usual());
          file.read(
              (seconds, value) -> {
                judge.sample(seconds, value);
                return !judge.enough();
              });
          judge.finish();
          judge.judged();
        });
  }

  private interface Use {
    void of(SignalFile file) throws IOException;
  }

  private void recordings(String what, int cases, long seed, Use use) throws Exception {
    Path file = folder.resolve("recording.csv");
    int refused =
        Onslaught.run(
            what,
            cases,
            seed,
            random -> Spoilt.utf8(Spoilt.text(recording(random, 40), random)),
            bytes -> {
              try {
                use.of(new SignalFile(Files.write(file, bytes), "time_s", "value"));
                return "";
              } catch (BadSignal e) {
                return e.getMessage();
              }
            });
    assertTrue(refused > cases / 20 && refused < cases, "refused: " + refused);
  }

  private void commands(int cases, long seed) throws Exception {
    Path file = folder.resolve("recording.csv");
    int refused =
        Onslaught.run(
            "recordings by judge",
            cases,
            seed,
            random -> Spoilt.utf8(Spoilt.text(recording(random, 400), random)),
            bytes -> {
              Files.write(file, bytes);
              ByteArrayOutputStream out = new ByteArrayOutputStream();
              ByteArrayOutputStream err = new ByteArrayOutputStream();
              int code =
                  MeniscusCommand.run(
                      new PrintStream(out, true, StandardCharsets.UTF_8),
                      new PrintStream(err, true, StandardCharsets.UTF_8),
                      InputStream.nullInputStream(),
                      "judge",
                      file.toString(),
                      "--json");
              String said = err.toString(StandardCharsets.UTF_8).strip();
              assertTrue(code == 0 || code == 4, "exit code " + code + ": " + said);
              assertEquals(code == 0 ? 1 : 0, out.toString(StandardCharsets.UTF_8).lines().count());
              assertEquals(code == 0 ? 0 : 1, said.lines().count(), said);
              return said;
            });
    assertTrue(refused > 0 && refused < cases, "refused: " + refused);
  }

  private void calmRecords(int cases, long seed) throws Exception {
    String index =
        """
        {"meniscus": "calm/1", "runs": [
          {"file": "a.csv", "range": "large", "direction": "suction", "mean": 10,
           "pressure_pa": 6974},
          {"file": "b.csv", "range": "large", "direction": "suction", "mean": 10.5}]}
        """;
    Path calm = Files.createDirectories(folder.resolve("calm"));
    int refused =
        Onslaught.run(
            "calm records",
            cases,
            seed,
            random -> {
              String a = recording(random, 300);
              boolean spoiltRun = random.nextBoolean();
              return List.of(
                  spoiltRun ? Spoilt.text(a, random) : a,
                  recording(random, 300),
                  spoiltRun ? index : Spoilt.json(index, random));
            },
            texts -> {
              Files.write(calm.resolve("a.csv"), Spoilt.utf8(texts.get(0)));
              Files.write(calm.resolve("b.csv"), Spoilt.utf8(texts.get(1)));
              Files.write(calm.resolve("calm.json"), Spoilt.utf8(texts.get(2)));
              try {
                new CalmFolder(calm).read("time_s", "value");
                return "";
              } catch (BadSignal e) {
                return e.getMessage();
              }
            });
    assertTrue(refused > cases / 20 && refused < cases, "refused: " + refused);
  }

  @Test
  void aPackedFileThatIsOneEndlessLineIsRefusedEarly() throws IOException {
    Path file = folder.resolve("bomb.csv.gz");
    try (OutputStream out =
        new BufferedOutputStream(new GZIPOutputStream(Files.newOutputStream(file)))) {
      out.write("time_s,value\n".getBytes(StandardCharsets.UTF_8));
      byte[] nines = "9".repeat(1 << 16).getBytes(StandardCharsets.UTF_8);
      for (int i = 0; i < 2_000; i++) {
        out.write(nines);
      }
    }
    BadSignal refused =
        assertThrows(
            BadSignal.class,
            () -> new SignalFile(file, "time_s", "value").read((seconds, value) -> true));
    assertTrue(refused.getMessage().contains("a line of over"), refused.getMessage());
  }

  @Test
  void aClockThatStandsStillFillsNoMemory() {
    SignalJudge judge = new SignalJudge(JudgeSettings.usual());
    for (int i = 0; i < 20_000_000 && !judge.enough(); i++) {
      judge.sample(1, 10 + i % 7);
    }
    judge.finish();
    assertTrue(judge.judged().mean().isEmpty() || judge.judged().toSeconds() <= 1);
  }
}
