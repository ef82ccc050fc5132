package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import java.util.zip.GZIPInputStream;
import meniscus.core.Needed;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The program as a process that stands still in mid-test, as in a laptop that is shut, and the
 * computer's clock that is set: no reading is lost, and no average goes across a time of which
 * there are none.
 */
@Tag("long")
class StoppedProgramTest {

  private static final long SEED = 20321210;

  /** Tells an average that has readings of before the stop among those of after it. */
  private static final double CHANGED = 1.1;

  private static final Path FAKED = Path.of("faketime", "libfaketime.so.1");

  @TempDir Path temp;

  private final Random random = new Random(SEED);
  private Path files;
  private Path out;
  private RunningProgram program;

  @AfterEach
  void end() {
    if (program != null) {
      program.close();
    }
  }

  private void start(StreamingGauge gauge, int rungs, int longestSeconds, List<String> prefix)
      throws IOException {
    files = Recorder.files(temp);
    out = temp.resolve("out");
    gauge.wire(files, "");
    String lifts =
        IntStream.rangeClosed(1, rungs)
            .mapToObj(rung -> String.valueOf(rung / 128.0))
            .collect(Collectors.joining(", "));
    Recorder.change(files.resolve("plan.json"), "0.1, 0.2, 0.3", lifts);
    // Never as narrow as that: each rung is averaged as long as it may be.
    Recorder.change(
        files.resolve("plan.json"),
        "\"30 s\"",
        "\"" + longestSeconds + " s\", \"target\": \"0.001 %\"");
    program =
        new RunningProgram(
            prefix,
            files,
            "record",
            "--bench",
            files.resolve("bench.json"),
            "--plan",
            files.resolve("plan.json"),
            "--out",
            out,
            "--json");
  }

  @Test
  void stoppedAndLetGoOnItSaysSoAveragesNothingAcrossAndLosesNothing() throws Exception {
    stopped(1, 2.5, 2.5);
  }

  @Test
  @Tag("bench")
  void stoppedFiftyTimes() throws Exception {
    stopped(50, 1.5, 8);
    System.out.println("50 stops of 1.5 to 8 s, seed " + SEED + ": no reading lost");
  }

  private void stopped(int times, double shortest, double longest) throws Exception {
    try (StreamingGauge gauge = new StreamingGauge()) {
      // A rung whose longest time is over when the program goes on is kept as it stood.
      int longestOfARung = (int) Math.ceil(2.5 + longest) + 2;
      start(gauge, times + 1, longestOfARung, List.of());
      double undisturbed = kept(1).get("flow").asDouble();
      for (int i = 1; i <= times; i++) {
        begin(i + 1);
        Thread.sleep(1000 + random.nextInt(1500));
        program.signal("STOP");
        gauge.dropPa = i % 2 == 0 ? StreamingGauge.DROP_PA : changed();
        Thread.sleep(Math.round(1000 * (shortest + random.nextDouble() * (longest - shortest))));
        int told = program.seen("broken_off").size();
        program.signal("CONT");
        double flow = program.await("kept", "\"rung\":" + (i + 1)).get("flow").asDouble();
        double ratio = flow / undisturbed;
        double changed = Math.sqrt(CHANGED);
        String where = "stop " + i + ", seed " + SEED;
        if (program.seen("broken_off").size() > told) {
          assertEquals(i % 2 == 0 ? 1 : changed, ratio, 0.002, where);
        } else {
          // All that was sent meanwhile waited in the system, and was averaged at its own times.
          assertTrue(ratio > 0.998 && ratio < changed + 0.002, where + ": " + ratio);
        }
      }
      int code = program.end();
      assertTrue(code == 0 || code == 5, program.said());
      nothingIsLost(times + 1);
    }
  }

  private static int changed() {
    return (int) (CHANGED * StreamingGauge.DROP_PA);
  }

  private void begin(int rung) throws Exception {
    program.await("next", "(" + rung + " of ");
    program.type("keep");
    program.await("begun", "rung=" + rung);
  }

  private JsonNode kept(int rung) throws Exception {
    begin(rung);
    return program.await("kept", "\"rung\":" + rung);
  }

  /** Every line that was sent from the first one on. */
  private void nothingIsLost(int rungs) throws Exception {
    List<Double> numbers = numbers();
    for (int i = 1; i < numbers.size(); i++) {
      assertEquals(numbers.get(i - 1) + 1, numbers.get(i), "no line is lost, seed " + SEED);
    }
    assertEquals(rungs, program.seen("kept").size());
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
  }

  /** Of each line. */
  private List<Double> numbers() throws IOException {
    try (BufferedReader in =
        new BufferedReader(
            new InputStreamReader(
                new GZIPInputStream(Files.newInputStream(out.resolve("samples.csv.gz"))),
                StandardCharsets.UTF_8))) {
      List<String> lines = in.lines().toList();
      List<String> columns = List.of(lines.get(0).split(","));
      int number = columns.indexOf("gauge.number");
      return lines.stream().skip(1).map(line -> Double.valueOf(line.split(",")[number])).toList();
    }
  }

  /** By another's library between the program and the system: Debian's package faketime. */
  @Test
  @Tag("bench")
  void theComputersClockIsSetForthAndBack() throws Exception {
    Path clock = Files.writeString(temp.resolve("clock"), "+0");
    List<String> prefix = new ArrayList<>(List.of("env", "LD_PRELOAD=" + fakedClock()));
    prefix.add("FAKETIME_TIMESTAMP_FILE=" + clock);
    prefix.add("FAKETIME_CACHE_DURATION=1");
    prefix.add("FAKETIME_DONT_FAKE_MONOTONIC=1");
    try (StreamingGauge gauge = new StreamingGauge()) {
      start(gauge, 3, 4, prefix);
      double undisturbed = kept(1).get("flow").asDouble();
      begin(2);
      Thread.sleep(1500);
      gauge.dropPa = changed();
      Files.writeString(clock, "+3600");
      assertEquals(3600, by(program.await("clock", "ran ahead by")), 2);
      program.await("zero", "interrupted");
      double flow = kept(2).get("flow").asDouble();
      assertEquals(Math.sqrt(CHANGED), flow / undisturbed, 0.002);
      begin(3);
      Thread.sleep(1500);
      Files.writeString(clock, "+0");
      assertEquals(3600, by(program.await("clock", "set back by")), 2);
      program.await("kept", "\"rung\":3");
      int code = program.end();
      assertTrue(code == 0 || code == 5, program.said());
      nothingIsLost(3);
    }
    System.out.println("the computer's clock an hour on and back again in mid-test: nothing lost");
  }

  private static double by(JsonNode event) {
    return Double.parseDouble(event.get("detail").asText().replaceAll(".* by ([0-9.]+) s.*", "$1"));
  }

  private static Path fakedClock() throws IOException {
    Path libraries = Path.of("/usr/lib");
    try (Stream<Path> all = Files.find(libraries, 4, (path, is) -> path.endsWith(FAKED))) {
      List<Path> found = all.toList();
      Needed.that(!found.isEmpty(), "no libfaketime here: the computer's clock is not set");
      return found.get(0);
    }
  }
}
