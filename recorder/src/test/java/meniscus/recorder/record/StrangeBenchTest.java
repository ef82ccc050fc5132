package meniscus.recorder.record;

import static java.util.stream.Collectors.joining;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

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
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import meniscus.core.Needed;
import meniscus.recorder.cli.MeniscusCommand;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A whole job, from the zero to the comparison, hands-free, on benches that are no kin of the
 * simulated one; each in a process of its own, through real ports and the real serial library. All
 * go on side by side.
 */
@Tag("long")
class StrangeBenchTest {

  private static final double AIM_PA = 28 * 249.08891;
  private static final Map<String, Double> PLATES_M2 =
      Map.of(
          "44", 0.611 * Math.PI / 4 * 0.044 * 0.044,
          "50", 0.611 * Math.PI / 4 * 0.050 * 0.050);

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

  /** Sends when it is asked. */
  private static final String ASKED =
      """
      {"meniscus": "sheet/1", "name": "Asked", "driver": "text-ask", "terminator": "\\r\\n",
       "every_s": 0.1, "timeout_s": 0.5,
       "asks": [{"command": "P?", "separator": ",", "fields": 2, "channels": [
         {"name": "depression", "unit": "Pa", "field": 1},
         {"name": "drop", "unit": "Pa", "field": 2}]}]}
      """;

  /** Numbers what it sends. */
  private static final String COUNTED =
      """
      {"meniscus": "sheet/1", "name": "Counted", "driver": "text-stream", "separator": ",",
       "fields": 3, "channels": [{"role": "counter", "modulus": 65536, "field": 1},
         {"name": "depression", "unit": "Pa", "field": 2},
         {"name": "drop", "unit": "Pa", "field": 3}]}
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
       "ladder": {"lifts": [%s]}}
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
                  "-XX:+UseSerialGC",
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
      switch (kind) {
        case "sleeper" -> Files.writeString(folder.resolve("both.json"), ASKED);
        case "resetter" -> Files.writeString(folder.resolve("both.json"), COUNTED);
        default -> sheet("both", "depression", "drop");
      }
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
        Called zero =
            new Called(this, "zero", "--bench", file("bench.json"), "--seconds", "5", "--json");
        assertEquals(0, zero.end(), kind + zero.said());
        plates("calibrate", List.of("44", "50"), "--target", "0.5 %");
        plates("calm", List.of("44"), "--plate", "44", "--seconds", "20");
        record("before", Map.of("3", 6e-4, "6", 10e-4), true);
        record("after", Map.of("6", 10.8e-4), false);
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

    private void plates(String command, List<String> plates, String... more) throws Exception {
      List<String> words =
          new ArrayList<>(
              List.of(
                  command,
                  "--bench",
                  file("bench.json"),
                  "--plates",
                  file("plates.json"),
                  "--direction",
                  "suction",
                  "--at",
                  "28 inH2O",
                  "--json"));
      words.addAll(List.of(more));
      Called called = new Called(this, words.toArray(String[]::new));
      called.again = 3;
      for (String plate : plates) {
        called.await("Mount plate " + plate);
        tell("area " + PLATES_M2.get(plate));
        tell("aim " + AIM_PA);
        called.type("downstream");
      }
      int code = called.end();
      tell("aim 0");
      assertTrue(code == 0 || code == 5, kind + " " + command + ": " + code + called.said());
    }

    /**
     * @param areasM2 by lift in mm
     */
    private void record(String out, Map<String, Double> areasM2, boolean troubled)
        throws Exception {
      List<String> lifts = areasM2.keySet().stream().sorted().toList();
      String ladder = lifts.stream().map(lift -> "\"" + lift + " mm\"").collect(joining(", "));
      Files.writeString(folder.resolve(out + ".json"), String.format(PLAN, ladder));
      Called called =
          new Called(
              this,
              "record",
              "--bench",
              file("bench.json"),
              "--plan",
              file(out + ".json"),
              "--out",
              file(out),
              "--hands-free",
              "--json");
      for (int rung = 1; rung <= lifts.size(); rung++) {
        String lift = lifts.get(rung - 1);
        called.await("(" + rung + " of ");
        tell("area " + areasM2.get(lift));
        tell("lift " + lift);
        tell("aim " + AIM_PA);
        called.await("rung=" + rung + " attempt");
        if (troubled && rung == 1) {
          tell(trouble()[0]);
        }
      }
      called.await("all lifts are done");
      tell("aim 0");
      tell("lift 0"); // the dial is read on the seat
      int code = called.end();
      assertTrue(code == 0 || code == 5, kind + ": " + code + called.said());
      assertEquals(lifts.size(), called.kept(), kind + called.said());
      if (troubled) {
        assertTrue(called.said().contains(trouble()[1]), kind + called.said());
      }
      if (lifts.size() == 2) {
        Map<Integer, Double> flows = Recorder.flows(folder.resolve(out));
        assertEquals(10.0 / 6, flows.get(2) / flows.get(1), 0.02, kind + " " + out);
      }
      Recorder.Ran again = Recorder.run("", "recompute", folder.resolve(out), "--json");
      assertEquals(0, again.exitCode(), kind + again.err());
    }

    /** What happens in the middle of an average, and what is to be said of it. */
    private String[] trouble() {
      return switch (kind) {
        case "sleeper" -> new String[] {"sleep 4", "an instrument is gone"};
        case "resetter" -> new String[] {"reset 0.7", "was the instrument reset?"};
        case "radio" -> new String[] {"mute 2.2", "#~"};
        default -> new String[] {"mute 2.2", "nothing could be read for"};
      };
    }

    /** A calm run that is of no use is refused with its reason, and nothing is stored. */
    void refused(String... reasons) {
      try {
        Called called =
            new Called(
                this,
                "calm",
                "--bench",
                file("bench.json"),
                "--plates",
                file("plates.json"),
                "--plate",
                "44",
                "--direction",
                "suction",
                "--at",
                "28 inH2O",
                "--seconds",
                "20",
                "--json");
        String before = Files.readString(folder.resolve("bench.json"));
        called.await("Mount plate 44");
        tell("area " + PLATES_M2.get("44"));
        tell("aim " + AIM_PA);
        called.type("downstream");
        for (String reason : reasons) {
          called.await(reason);
        }
        for (String offered : List.of("again", "longer", "skip")) {
          called.await(offered);
        }
        called.type("skip");
        assertEquals(3, called.end(), kind + called.said());
        assertEquals(before, Files.readString(folder.resolve("bench.json")), kind);
        assertFalse(Files.exists(folder.resolve("calm")), kind);
      } catch (Exception e) {
        throw new AssertionError(kind + ": " + e, e);
      } finally {
        process.destroyForcibly();
      }
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
      JsonNode changed = lifts.get(lifts.size() - 1);
      assertEquals(8, changed.get("difference_percent").asDouble(), 2, kind + ran.out());
    }
  }

  /** A command in this process, its answers typed as it asks. */
  private static final class Called {
    private static final String OFFER = "Type again, longer";

    private final ByteArrayOutputStream out = new ByteArrayOutputStream();
    private final ByteArrayOutputStream err = new ByteArrayOutputStream();
    private final PipedOutputStream typed = new PipedOutputStream();
    private final CompletableFuture<Integer> code;
    private int again;
    private int offered;

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

    private int length() {
      return out.size() + err.size();
    }

    long kept() {
      return out.toString(StandardCharsets.UTF_8)
          .lines()
          .filter(line -> line.contains("\"event\":\"kept\""))
          .count();
    }

    void await(String text) throws Exception {
      until(() -> said().contains(text), "no \"" + text + "\"");
    }

    private void until(BooleanSupplier wanted, String orElse) throws Exception {
      long until = System.nanoTime() + (long) (PATIENCE_SECONDS * 1e9);
      for (int seen = length(); !wanted.getAsBoolean(); seen = length()) {
        if (code.isDone() && !wanted.getAsBoolean() || System.nanoTime() > until) {
          throw new AssertionError(orElse + " in: " + said());
        }
        insist();
        // What was looked through is not again until there is more of it.
        while (length() == seen && !code.isDone() && System.nanoTime() <= until) {
          TimeUnit.MILLISECONDS.sleep(20);
        }
      }
    }

    /**
     * On a starved machine a bench may fall silent for longer than an average goes across, and
     * readings that come in chunks may keep the times of their chunks: then what is asked for is a
     * longer run.
     */
    private void insist() throws IOException {
      if (again > 0 && said().split(OFFER, -1).length - 1 > offered) {
        offered++;
        again--;
        type("longer");
      }
    }

    void type(String line) throws IOException {
      typed.write((line + "\n").getBytes(StandardCharsets.UTF_8));
      typed.flush();
    }

    int end() throws Exception {
      until(code::isDone, "it does not end");
      return code.get();
    }
  }

  @Test
  void aWholeJobOnInstrumentsThatSendInChunksSleepAndResetAndCalmRunsThatAreNone()
      throws Exception {
    Needed.that(Files.exists(Path.of("/dev/ptmx")), "no pseudo-terminals here");
    List<CompletableFuture<Void>> jobs = new ArrayList<>();
    for (String kind : List.of("adapter", "radio", "apart", "sleeper", "resetter")) {
      jobs.add(begun(kind, Job::done));
    }
    jobs.add(begun("slow", job -> job.refused("too few to tell the rhythm", "need runs of 50 s")));
    jobs.add(begun("wild", job -> job.refused("which no plate gives", "it is not stored")));
    for (CompletableFuture<Void> job : jobs) {
      job.get();
    }
  }

  private CompletableFuture<Void> begun(String kind, Consumer<Job> does) {
    CompletableFuture<Void> done = new CompletableFuture<>();
    Thread runs =
        new Thread(
            () -> {
              try {
                does.accept(new Job(kind));
                done.complete(null);
              } catch (Throwable failed) {
                done.completeExceptionally(failed);
              }
            },
            kind);
    runs.setDaemon(true);
    runs.start();
    return done;
  }
}
