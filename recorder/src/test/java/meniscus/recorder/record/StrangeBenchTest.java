package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.BufferedReader;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.PipedInputStream;
import java.io.PipedOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import meniscus.recorder.cli.MeniscusCommand;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A whole job, from the zero to the comparison, hands-free, on benches that are no kin of the
 * simulated one; each in a process of its own, through real ports and the real serial library. The
 * three go on side by side.
 */
@Tag("long")
class StrangeBenchTest {

  private static final double AIM_PA = 28 * 249.08891;
  private static final double PLATE_44_M2 = 0.611 * Math.PI / 4 * 0.044 * 0.044;
  private static final double PLATE_50_M2 = 0.611 * Math.PI / 4 * 0.050 * 0.050;
  private static final double[] LIFTS_MM = {3, 6};
  private static final double[] BEFORE_M2 = {6e-4, 10e-4};
  private static final double[] AFTER_M2 = {6e-4, 10.8e-4};

  /** No command may take longer [s]. */
  private static final double PATIENCE_SECONDS = 300;

  private static final String PLATES =
      """
      {"meniscus": "plates/1", "plates": [
        {"name": "44", "bore": "44 mm", "bore_within": "0.01 mm", "origin": "laboratory",
         "coefficient": {"value": 0.611, "standard_uncertainty": "0.25 %"}},
        {"name": "50", "bore": "50 mm", "bore_within": "0.01 mm", "origin": "laboratory",
         "coefficient": {"value": 0.611, "standard_uncertainty": "0.25 %"}}]}
      """;

  private static final String BENCH =
      """
      {"meniscus": "bench/1", "name": "Strange bench", "units": "metric",
       "site": {"altitude": "100 m", "barometer": "station", "mains_hz": 50},
       "layout": "blower side",
       "instruments": [%s
         {"id": "dial", "sheet": "dial.json", "line": {"kind": "serial", "port": "DEV/dial"}}],
       "channels": {
         "test_pressure": {"instrument": "%s", "channel": "depression",
           "low": "-10 kPa", "high": "10 kPa",
           "accuracy": {"of_reading": "0.2 %%", "absolute": "2 Pa"}},
         "lift": {"instrument": "dial", "channel": "lift", "low": "-1 mm", "high": "25 mm",
           "accuracy": {"absolute": "0.01 mm"}},
         "room_temperature": {"typed": "22 degC", "within": "1 K"},
         "room_pressure": {"typed": "1000 hPa", "within": "2 hPa"}},
       "ranges": [{"name": "large",
         "element": {"kind": "orifice", "bore": "60 mm", "bore_within": "0.05 mm",
           "coefficient": {"value": 0.6, "standard_uncertainty": "3 %%"}},
         "drop": {"instrument": "%s", "channel": "drop", "low": "-5 kPa", "high": "5 kPa",
           "accuracy": {"of_reading": "0.2 %%", "absolute": "2 Pa"}}}]}
      """;

  private static final String PLAN =
      """
      {"meniscus": "plan/1", "part": {"head": "made up", "port": "1"}, "port_kind": "intake",
       "direction": "suction", "units": "metric", "test_pressure": "28 inH2O", "longest": "60 s",
       "tolerance": "0.1 mm", "set_up": {"valve_heads": ["45 mm"]},
       "ladder": {"lifts": ["3 mm", "6 mm"]}}
      """;

  @TempDir Path temp;

  /** One bench with its files and its process. */
  private final class Job {
    final String kind;
    final Path folder;
    final Process process;

    Job(String kind) throws IOException {
      this.kind = kind;
      this.folder = Files.createDirectory(temp.resolve(kind));
      Path dev = Files.createDirectory(folder.resolve("dev"));
      files(dev);
      process =
          new ProcessBuilder(
                  Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                  "-Xmx128m",
                  "-XX:TieredStopAtLevel=1",
                  "-cp",
                  System.getProperty("java.class.path"),
                  StrangeBench.class.getName(),
                  kind,
                  dev.toString())
              .redirectError(folder.resolve("bench.txt").toFile())
              .start();
      BufferedReader says =
          new BufferedReader(
              new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8));
      assertEquals("ready", says.readLine(), kind);
    }

    private void files(Path dev) throws IOException {
      boolean apart = kind.equals("apart");
      sheet("both", "depression", "drop");
      sheet("depression", "depression");
      sheet("drop", "drop");
      Files.writeString(
          folder.resolve("dial.json"),
          """
          {"meniscus": "sheet/1", "name": "Dial", "driver": "text-stream", "separator": ",",
           "fields": 1, "channels": [{"name": "lift", "unit": "mm", "field": 1}]}
          """);
      String instrument =
          "{\"id\": \"%1$s\", \"sheet\": \"%1$s.json\","
              + " \"line\": {\"kind\": \"serial\", \"port\": \"DEV/%1$s\"}},";
      String instruments =
          apart
              ? String.format(instrument, "depression") + String.format(instrument, "drop")
              : String.format(instrument, "both");
      String bench =
          String.format(BENCH, instruments, apart ? "depression" : "both", apart ? "drop" : "both");
      Files.writeString(folder.resolve("bench.json"), bench.replace("DEV", dev.toString()));
      Files.writeString(folder.resolve("plan.json"), PLAN);
      Files.writeString(folder.resolve("plates.json"), PLATES);
    }

    private void sheet(String name, String... channels) throws IOException {
      List<String> each = new ArrayList<>();
      for (String channel : channels) {
        each.add(
            String.format(
                "{\"name\": \"%s\", \"unit\": \"Pa\", \"field\": %d}", channel, each.size() + 1));
      }
      Files.writeString(
          folder.resolve(name + ".json"),
          String.format(
              "{\"meniscus\": \"sheet/1\", \"name\": \"%s\", \"driver\": \"text-stream\","
                  + " \"separator\": \",\", \"fields\": %d, \"channels\": [%s]}",
              name, channels.length, String.join(",", each)));
    }

    void tell(String command) {
      try {
        process.getOutputStream().write((command + "\n").getBytes(StandardCharsets.UTF_8));
        process.getOutputStream().flush();
      } catch (IOException e) {
        throw new AssertionError(kind + ": the bench is gone", e);
      }
    }

    // ---------------------------------------------------------------- the job

    void done() {
      try {
        Called zero = new Called(this, "zero", "--bench", file("bench.json"), "--json");
        assertEquals(0, zero.end(), kind + zero.said());
        plates("calibrate");
        plates("calm", "--seconds", "40");
        record("before", BEFORE_M2, true);
        record("after", AFTER_M2, false);
        compare();
      } catch (Exception e) {
        throw new AssertionError(kind + ": " + e, e);
      } finally {
        process.destroyForcibly();
      }
    }

    private String file(String name) {
      return folder.resolve(name).toString();
    }

    private void plates(String command, String... more) throws Exception {
      Called called =
          new Called(
              this,
              Stream.concat(
                      Stream.of(
                          command,
                          "--bench",
                          file("bench.json"),
                          "--plates",
                          file("plates.json"),
                          "--direction",
                          "suction",
                          "--at",
                          "28 inH2O",
                          "--json"),
                      Stream.of(more))
                  .toArray(String[]::new));
      called.await("Mount plate 44");
      tell("area " + PLATE_44_M2);
      tell("aim " + AIM_PA);
      called.type("downstream");
      called.await("Mount plate 50");
      tell("area " + PLATE_50_M2);
      called.type("downstream");
      int code = called.end();
      tell("aim 0");
      assertTrue(code == 0 || code == 5, kind + " " + command + ": " + code + called.said());
    }

    private void record(String out, double[] areas, boolean muted) throws Exception {
      Called called =
          new Called(
              this,
              "record",
              "--bench",
              file("bench.json"),
              "--plan",
              file("plan.json"),
              "--out",
              file(out),
              "--hands-free",
              "--json");
      for (int rung = 1; rung <= 2; rung++) {
        called.await("rung " + rung + ", lift");
        tell("area " + areas[rung - 1]);
        tell("lift " + LIFTS_MM[rung - 1]);
        tell("aim " + AIM_PA);
        called.await("rung=" + rung + " attempt");
        if (muted && rung == 1) {
          tell("mute 2.2");
        }
      }
      int code = called.end();
      tell("aim 0");
      assertTrue(code == 0 || code == 5, kind + ": " + code + called.said());
      assertEquals(2, called.kept(), kind + called.said());
      if (muted && !kind.equals("radio")) { // its chunks come 0.8 s apart: four seconds tear it
        assertTrue(called.said().contains("nothing could be read for"), kind + called.said());
      }
      Map<Integer, Double> flows = Recorder.flows(folder.resolve(out));
      assertEquals(areas[1] / areas[0], flows.get(2) / flows.get(1), 0.02, kind + " " + out);
      Recorder.Ran again = Recorder.run("", "recompute", folder.resolve(out), "--json");
      assertEquals(0, again.exitCode(), kind + again.err());
    }

    private void compare() {
      Recorder.Ran ran =
          Recorder.run(
              "",
              "compare",
              folder.resolve("before"),
              "--after",
              folder.resolve("after"),
              "--json");
      JsonNode lifts = Recorder.json(ran.out().strip()).get("lifts");
      assertEquals(0, lifts.get(0).get("difference_percent").asDouble(), 2, kind);
      assertEquals(8, lifts.get(1).get("difference_percent").asDouble(), 2, kind);
    }
  }

  /** A command in this process, its answers typed as it asks. */
  private static final class Called {
    private final ByteArrayOutputStream out = new ByteArrayOutputStream();
    private final ByteArrayOutputStream err = new ByteArrayOutputStream();
    private final PipedOutputStream typed = new PipedOutputStream();
    private final CompletableFuture<Integer> code;

    Called(Job job, String... words) throws IOException {
      PipedInputStream in = new PipedInputStream(typed);
      assertTrue(job.process.isAlive(), job.kind);
      code = new CompletableFuture<>();
      Thread runs =
          new Thread(
              () ->
                  code.complete(
                      MeniscusCommand.run(
                          new PrintStream(out, true, StandardCharsets.UTF_8),
                          new PrintStream(err, true, StandardCharsets.UTF_8),
                          in,
                          words)),
              job.kind + " " + words[0]);
      runs.setDaemon(true);
      runs.start();
    }

    String said() {
      return "\n" + err.toString(StandardCharsets.UTF_8) + out.toString(StandardCharsets.UTF_8);
    }

    long kept() {
      return out.toString(StandardCharsets.UTF_8)
          .lines()
          .filter(line -> line.contains("\"event\":\"kept\""))
          .count();
    }

    void await(String text) throws Exception {
      long until = System.nanoTime() + (long) (PATIENCE_SECONDS * 1e9);
      while (!said().contains(text)) {
        if (code.isDone() && !said().contains(text) || System.nanoTime() > until) {
          throw new AssertionError("no \"" + text + "\" in: " + said());
        }
        TimeUnit.MILLISECONDS.sleep(20); // only how often it is looked for
      }
    }

    void type(String line) throws IOException {
      typed.write((line + "\n").getBytes(StandardCharsets.UTF_8));
      typed.flush();
    }

    int end() throws Exception {
      return code.get((long) PATIENCE_SECONDS, TimeUnit.SECONDS);
    }
  }

  @Test
  void aWholeJobOnAnAdapterARadioLinkAndTwoGaugesApart() throws Exception {
    assumeTrue(Files.exists(Path.of("/dev/ptmx")), "no pseudo-terminals here");
    List<CompletableFuture<Void>> jobs = new ArrayList<>();
    for (String kind : List.of("adapter", "radio", "apart")) {
      Job job = new Job(kind);
      CompletableFuture<Void> done = new CompletableFuture<>();
      Thread runs =
          new Thread(
              () -> {
                try {
                  job.done();
                  done.complete(null);
                } catch (Throwable failed) {
                  done.completeExceptionally(failed);
                }
              },
              kind);
      runs.setDaemon(true);
      runs.start();
      jobs.add(done);
    }
    for (CompletableFuture<Void> job : jobs) {
      job.get();
    }
  }
}
