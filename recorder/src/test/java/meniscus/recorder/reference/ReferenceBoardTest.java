package meniscus.recorder.reference;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.recorder.cli.MeniscusCommand;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/** The firmware of docs/boards as it would run on the chip, read by the program. */
@Tag("long")
@EnabledOnOs(value = OS.LINUX, disabledReason = "simavr and pseudo-terminals")
@Execution(ExecutionMode.CONCURRENT) // it waits for instruments
class ReferenceBoardTest {

  private static final double INCH_OF_WATER = 249.08891;

  @TempDir private static Path folder;

  @BeforeAll
  static void toolsAreThere() {
    SimulatedBoard.needed();
  }

  /** A command on a thread of its own, whose JSON lines are read as they come. */
  private static final class Running implements AutoCloseable {

    private static final String END = "";
    private static final long PATIENCE_MINUTES = 3;

    private final Thread thread;
    private final BlockingQueue<String> lines = new LinkedBlockingQueue<>();
    private final List<JsonNode> all = new ArrayList<>();
    private final StringBuilder received = new StringBuilder();
    private volatile int code = -1;

    Running(Object... arguments) {
      PrintStream out = new PrintStream(new Lines(lines), true, StandardCharsets.UTF_8);
      thread =
          new Thread(
              () -> {
                code =
                    MeniscusCommand.run(
                        out,
                        System.err,
                        new ByteArrayInputStream(new byte[0]),
                        Stream.of(arguments).map(Object::toString).toArray(String[]::new));
                lines.add(END);
              });
      thread.start();
    }

    private String next() throws InterruptedException {
      String line = lines.poll(PATIENCE_MINUTES, TimeUnit.MINUTES);
      if (line == null) {
        throw new AssertionError("nothing more comes after: " + last(all));
      }
      return line;
    }

    /** The next line that fits. */
    JsonNode until(Predicate<JsonNode> wanted) throws Exception {
      for (String line = next(); !line.equals(END); line = next()) {
        JsonNode node = new ObjectMapper().readTree(line);
        all.add(node);
        received.append(node.path("received").asText());
        if (wanted.test(node)) {
          return node;
        }
      }
      throw new AssertionError("it ended before: " + last(all));
    }

    /** Till these bytes have come, in however many pieces. */
    void untilReceived(String text) throws Exception {
      received.setLength(0);
      until(line -> received.indexOf(text) >= 0);
    }

    List<JsonNode> toTheEnd() throws Exception {
      for (String line = next(); !line.equals(END); line = next()) {
        all.add(new ObjectMapper().readTree(line));
      }
      return all;
    }

    /** Enough was seen. */
    void cancel() throws Exception {
      thread.interrupt();
      toTheEnd();
    }

    int exitCode() {
      close();
      return code;
    }

    @Override
    public void close() {
      try {
        thread.join(60_000);
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
  }

  /** Takes what is written apart into lines, from whichever thread it comes. */
  private static final class Lines extends OutputStream {
    private final BlockingQueue<String> lines;
    private final ByteArrayOutputStream line = new ByteArrayOutputStream();

    Lines(BlockingQueue<String> lines) {
      this.lines = lines;
    }

    @Override
    public synchronized void write(int b) {
      if (b != '\n') {
        line.write(b);
      } else if (line.size() > 0) {
        lines.add(line.toString(StandardCharsets.UTF_8));
        line.reset();
      }
    }
  }

  private static JsonNode last(List<JsonNode> all) {
    return all.isEmpty() ? null : all.get(all.size() - 1);
  }

  private static Running listen(SimulatedBoard board, String sheet, double seconds) {
    return new Running(
        "listen", "--sheet", sheet, "--on", board.port(), "--seconds", seconds, "--json");
  }

  private static Predicate<JsonNode> frame(Predicate<JsonNode> wanted) {
    return line -> line.has("frame") && wanted.test(line.get("frame"));
  }

  private static List<JsonNode> frames(List<JsonNode> all) {
    return all.stream().filter(line -> line.has("frame")).map(line -> line.get("frame")).toList();
  }

  @Test
  void linesComeFiftyTimesASecondAndReadWhatStandsOnTheBench() throws Exception {
    try (SimulatedBoard board = SimulatedBoard.start(folder)) {
      board.does("lift 8");
      board.does("blower " + 28 * INCH_OF_WATER);
      try (Running run = listen(board, "board-lines", 5)) {
        List<JsonNode> all = run.toTheEnd();
        List<JsonNode> frames = frames(all);
        JsonNode end = last(frames);
        assertEquals(28, end.get("test_pressure").asDouble(), 1.5, "1.2 % of wander");
        assertEquals(8, end.get("lift").asDouble(), 0.05);
        assertEquals(123.4, end.get("fine_drop").asDouble(), 0.02, "7404 counts of 1/60 Pa");
        assertEquals(22.5, end.get("temperature").asDouble(), 0.01);
        assertEquals(40, end.get("humidity").asDouble(), 0.1);
        assertTrue(last(all).get("sample_interval_s").asDouble() > 0, "by its own counter");
        assertTrue(frames.size() > 20, frames.size() + " lines");
      }
    }
  }

  @Test
  void packetsComeAThousandTimesASecondAndNoneIsLost() throws Exception {
    try (SimulatedBoard board = SimulatedBoard.start(folder, "-DPACKETS")) {
      board.does("lift 8");
      board.does("blower " + 28 * INCH_OF_WATER);
      try (Running run = listen(board, "board-packets", 60)) {
        run.until(frame(one -> one.get("sample_index").asInt() > 2000));
        run.cancel();
        List<JsonNode> frames = frames(run.all);
        assertEquals(28, last(frames).get("test_pressure").asDouble(), 1.5);
        assertEquals(8, last(frames).get("lift").asDouble(), 0.1);
        double first = frames.get(0).get("sample_index").asDouble();
        double end = last(frames).get("sample_index").asDouble();
        assertEquals(end - first + 1, frames.size(), 3, "every packet of the count is there");
      }
    }
  }

  /** By simulated cycles: the clock on the wall has no part in it. */
  @Test
  void theRateOfLinesAndOfPacketsIsWhatThePageSays() throws Exception {
    try (SimulatedBoard board = SimulatedBoard.start(folder);
        Running run = listen(board, "board-lines", 30)) {
      run.until(frame(one -> one.get("sample_index").asInt() > 5));
      board.rate();
      run.until(frame(one -> one.get("sample_index").asInt() > 200));
      everyBlockTakes(0.020, 150, board.rate());
      run.cancel();
    }
    try (SimulatedBoard board = SimulatedBoard.start(folder, "-DPACKETS");
        Running run = listen(board, "board-packets", 30)) {
      run.until(frame(one -> one.get("sample_index").asInt() > 50));
      board.rate();
      run.until(frame(one -> one.get("sample_index").asInt() > 1500));
      everyBlockTakes(0.001, 1000, board.rate());
      run.cancel();
    }
  }

  /**
   * The mean to a ten-thousandth, each block to 2 % of its time, which sending the one before
   * takes.
   */
  private static void everyBlockTakes(double seconds, long atLeast, SimulatedBoard.Rate rate) {
    assertTrue(rate.blocks() > atLeast, rate.toString());
    assertEquals(seconds, rate.mean(), 1e-4 * seconds, rate.toString());
    assertEquals(seconds, rate.shortest(), 0.02 * seconds, rate.toString());
    assertEquals(seconds, rate.longest(), 0.02 * seconds, rate.toString());
  }

  /** A converter that hangs on one plausible value is none that the board could know of. */
  @Test
  void aConverterStuckInMidRangeIsNeverKeptAsSteadyAir() throws Exception {
    Path files = Files.createTempDirectory(folder, "stuck");
    try (SimulatedBoard board = SimulatedBoard.start(folder)) {
      write(files, board);
      board.does("lift 4");
      board.does("blower " + 28 * INCH_OF_WATER);
      // 28 of 40 inH2O lie at (0.1 + 0.8 x 28 / 40) x 5 V.
      board.does("stuck 0 3300");
      try (Running run =
          new Running(
              "record",
              "--bench",
              files.resolve("bench.json"),
              "--plan",
              files.resolve("plan.json"),
              "--out",
              files.resolve("out"),
              "--hands-free",
              "--json")) {
        JsonNode fault = run.until(line -> line.path("event").asText().equals("fault"));
        assertTrue(fault.get("text").asText().contains("it is stuck"), fault.toString());
        assertTrue(
            run.all.stream().noneMatch(line -> line.path("event").asText().equals("kept")),
            "nothing is kept of it");
        board.does("stuck -1");
        run.until(line -> line.path("event").asText().equals("kept"));
        board.does("lift 9");
        run.toTheEnd();
      }
      double truth = board.portArea(4);
      assertEquals(truth, areas(files.resolve("out")).get(1) * 1e-6, 0.01 * truth, "of true air");
    }
  }

  @Test
  void resetBrownOutAndUnpluggingAreSeenAndReadingGoesOn() throws Exception {
    try (SimulatedBoard board = SimulatedBoard.start(folder);
        Running run = listen(board, "board-lines", 12)) {
      run.until(frame(one -> one.get("sample_index").asInt() > 20));
      board.does("reset");
      run.untilReceived("# board-lines 1, reset 02");
      run.until(frame(one -> one.get("sample_index").asInt() == 0));
      run.until(frame(one -> one.get("sample_index").asInt() > 20));
      board.does("brownout");
      run.untilReceived("# board-lines 1, reset 04");
      run.until(frame(one -> one.get("sample_index").asInt() > 20));
      board.does("unplug");
      run.until(line -> line.path("note").asText().startsWith("lost"));
      board.does("plug");
      JsonNode back = run.until(line -> line.has("frame")).get("frame");
      assertEquals(0, back.get("sample_index").asInt(), "a new opening begins a new count");
      List<String> reasons =
          run.toTheEnd().stream()
              .filter(line -> line.has("reason"))
              .map(line -> line.get("reason").asText())
              .toList();
      assertEquals(
          2,
          reasons.stream().filter(reason -> reason.contains("was the instrument reset?")).count(),
          reasons.toString());
      // Right after a reset the first block is of conversions never made; it is not sent.
      for (JsonNode one : frames(run.all)) {
        assertEquals(0, one.get("test_pressure").asDouble(), 0.2, "the blower is off");
      }
    }
  }

  @Test
  void aCountThatWrapsGoesOn() throws Exception {
    // Ten seconds before it wraps: a busy computer has opened the port by then.
    try (SimulatedBoard board = SimulatedBoard.start(folder, "-DFIRST_BLOCK=65000");
        Running run = listen(board, "board-lines", 60)) {
      run.until(frame(one -> one.get("sample_index").asInt() > 600));
      run.cancel();
      List<JsonNode> all = run.all;
      List<JsonNode> frames = frames(all);
      String received =
          all.stream().map(line -> line.path("received").asText()).collect(Collectors.joining());
      assertTrue(received.contains("N,65535*") && received.contains("N,00001*"), "it wrapped");
      assertEquals(
          last(frames).get("sample_index").asInt() + 1, frames.size(), "no line seems lost");
    }
  }

  @Test
  void aBrokenWireAShortAndAWrongSupplyAreNamedInsteadOfANumber() throws Exception {
    try (SimulatedBoard board = SimulatedBoard.start(folder);
        Running run = listen(board, "board-lines", 12)) {
      run.until(frame(one -> one.get("test_pressure").isNumber()));
      board.does("stuck 0 0");
      run.untilReceived("P1,ERR,");
      run.until(frame(one -> one.get("test_pressure").isNull()));
      board.does("stuck 0 4990");
      run.untilReceived("P1,OVER,");
      board.does("stuck -1");
      run.until(frame(one -> one.get("test_pressure").isNumber()));
      board.does("supply 3300");
      run.untilReceived("P1,REF,P2,REF,");
      run.until(frame(one -> one.get("element_drop").isNull()));
      board.does("supply 5000");
      run.until(frame(one -> one.get("element_drop").isNumber()));
      board.does("air 0");
      run.until(frame(one -> one.get("humidity").isNull() && one.get("fine_drop").isNull()));
      run.cancel();
    }
  }

  @Test
  void atAWrongBaudRateNothingIsRead() throws Exception {
    Path sheet = folder.resolve("slow.json");
    Files.writeString(
        sheet,
        Files.readString(Path.of("..", "docs", "sheets", "board-lines.json"))
            .replace("115200", "57600"));
    try (SimulatedBoard board = SimulatedBoard.start(folder);
        Running run = listen(board, sheet.toString(), 3)) {
      List<JsonNode> all = run.toTheEnd();
      assertEquals(0, last(all).get("frames").asInt());
      assertEquals(3, run.exitCode());
    }
  }

  @Test
  void aLiftTestIsRecordedThroughAResetAndAnUnpluggedCable() throws Exception {
    Path files = Files.createTempDirectory(folder, "test");
    double[] liftsMm = {4, 9};
    try (SimulatedBoard board = SimulatedBoard.start(folder)) {
      write(files, board);
      board.does("lift " + liftsMm[0]);
      board.does("blower " + 28 * INCH_OF_WATER);
      try (Running run =
          new Running(
              "record",
              "--bench",
              files.resolve("bench.json"),
              "--plan",
              files.resolve("plan.json"),
              "--out",
              files.resolve("out"),
              "--hands-free",
              "--json")) {
        run.until(line -> line.path("event").asText().equals("kept"));
        board.does("lift " + liftsMm[1]);
        board.does("reset");
        board.does("unplug");
        run.until(line -> line.path("event").asText().equals("lost"));
        board.does("plug");
        run.toTheEnd();
        assertNotEquals(3, run.exitCode());
      }
      Map<Integer, Double> areas = areas(files.resolve("out"));
      assertEquals(2, areas.size(), areas.toString());
      for (int i = 0; i < liftsMm.length; i++) {
        double truth = board.portArea(liftsMm[i]);
        // 10-bit converters: a drop of 1 inH2O is read to 0.3 % of itself, flow to half of that.
        assertEquals(truth, areas.get(i + 1) * 1e-6, 0.01 * truth, "lift " + liftsMm[i]);
      }
    }
  }

  private static Map<Integer, Double> areas(Path out) throws IOException {
    List<String> lines = Files.readAllLines(out.resolve("points.csv"));
    List<String> columns = List.of(lines.get(0).split(","));
    Map<Integer, Double> areas = new TreeMap<>();
    for (String line : lines.subList(1, lines.size())) {
      String[] cells = line.split(",");
      areas.put(
          Integer.valueOf(cells[columns.indexOf("rung")]),
          Double.valueOf(cells[columns.indexOf("effective_area_mm2")]));
    }
    return areas;
  }

  private static void write(Path files, SimulatedBoard board) throws IOException {
    String gauge =
        "\"accuracy\": {\"absolute\": \"0.02 inH2O\", \"quantum\": \"0.003 inH2O\"}, \"low\": \"-2"
            + " inH2O\", \"high\": \"40 inH2O\"";
    Files.writeString(
        files.resolve("bench.json"),
        "{\"meniscus\": \"bench/1\", \"name\": \"Board bench\", \"units\": \"inch\", \"layout\":"
            + " \"blower side\", \"instruments\": [{\"id\": \"board\", \"sheet\": \"board-lines\","
            + " \"line\": {\"kind\": \"serial\", \"port\": \""
            + board.port()
            + "\"}}], \"channels\": {\"test_pressure\": {\"instrument\": \"board\", \"channel\":"
            + " \"test_pressure\", "
            + gauge
            + "}, \"lift\": {\"instrument\": \"board\", \"channel\": \"lift\", \"low\": \"-1 mm\","
            + " \"high\": \"25 mm\", \"accuracy\": {\"absolute\": \"0.05 mm\", \"quantum\":"
            + " \"0.001 mm\"}}, \"room_temperature\": {\"typed\": \"20 degC\", \"within\":"
            + " \"0.5 degC\"}, \"room_pressure\": {\"typed\": \"1013.25 hPa\", \"within\":"
            + " \"1 hPa\"}, \"room_humidity\": {\"typed\": \"0 %\", \"within\": \"1 %\"}},"
            + " \"ranges\": [{\"name\": \"plate\", \"element\": {\"kind\": \"orifice\", \"bore\":"
            + " \"60 mm\", \"coefficient\": {\"value\": 0.6, \"standard_uncertainty\": \"0.5 %\"}},"
            + " \"drop\": {\"instrument\": \"board\", \"channel\": \"element_drop\", "
            + gauge
            + "}}]}");
    Files.writeString(
        files.resolve("plan.json"),
        "{\"meniscus\": \"plan/1\", \"part\": {\"head\": \"Lark\", \"port\": \"intake 1\"},"
            + " \"port_kind\": \"intake\", \"direction\": \"suction\", \"units\": {\"lift\": \"mm\","
            + " \"flow\": \"cfm\", \"pressure\": \"inH2O\"}, \"test_pressure\": \"28 inH2O\","
            + " \"ladder\": {\"lifts\": [4, 9]}, \"tolerance\": \"0.2 mm\", \"target\": \"2 %\", \"longest\":"
            + " \"40 s\", \"set_up\": {\"valve_heads\": [\"45 mm\"]}}");
  }
}
