package meniscus.recorder.report;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeMap;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.Beside;
import meniscus.core.lift.EventText;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestCurve;
import meniscus.core.lift.TestEvent;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.Band;
import meniscus.core.time.Moment;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.folder.FolderFinish;
import meniscus.recorder.folder.WorkedOut;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;

/** Writes test folders of an invented bench, the way a recorded test is written. */
public final class InventedFolders {

  private static final String BENCH =
      """
      {"meniscus": "bench/1", "name": "NAME", "units": "metric",
       "id": "ID",
       "layout": "blower side",
       "instruments": [
         {"id": "manometer", "sheet": "two-channel-manometer"},
         {"id": "air", "sheet": "room-air-station"}],
       "channels": {
         "test_pressure": {"instrument": "manometer", "channel": "test_pressure",
           "low": "-10 kPa", "high": "10 kPa",
           "accuracy": {"of_reading": "0.1 %"}},
         "room_temperature": {"instrument": "air", "channel": "temperature",
           "low": "0 degC", "high": "50 degC", "accuracy": {"absolute": "0.5 K"}},
         "room_pressure": {"typed": "990 hPa", "within": "3 hPa"},
         "room_humidity": {"typed": "50 %", "within": "10 %"}},
       "ranges": [{"name": "main",
         "element": {"kind": "orifice", "bore": "60 mm",
           "coefficient": {"value": 0.611, "standard_uncertainty": "0.5 %"}},
         "drop": {"instrument": "manometer", "channel": "element_drop",
           "low": "-1 kPa", "high": "10 kPa",
           "accuracy": {"of_reading": "0.1 %"}}}] UPKEEP}
      """;

  private static final String REPEATABILITY =
      """
      , "upkeep": {"repeatability": {"nodes": [{"lift": "5 mm", "standard_deviation": "0.3 %"}],
        "correlation": 0.5, "degrees_of_freedom": 40}}
      """;

  private InventedFolders() {}

  /** A finished test folder that holds these points; its bench knows its repeatability or not. */
  public static Path write(Path folder, TestCurve test, boolean repeatability, Instant began)
      throws IOException {
    return write(folder, test, repeatability, began, java.util.Map.of());
  }

  /**
   * @param more files that it took along
   */
  public static Path write(
      Path folder,
      TestCurve test,
      boolean repeatability,
      Instant began,
      java.util.Map<String, byte[]> more)
      throws IOException {
    TreeMap<String, byte[]> files = new TreeMap<>(more);
    files.putIfAbsent(
        Header.BENCH,
        bench("Invented bench", "3f0e9a52-7c1d-4b66-9d0a-5e2b7c81f4a6", repeatability));
    if (!files.containsKey(Header.PLATE)) {
      files.put(Header.PLAN, utf8(PlanFile.text(test.plan())));
    }
    Header header =
        new Header(
            "meniscus test",
            began,
            List.of(
                new Header.Columns(
                    "manometer",
                    List.of(
                        new Channel("test_pressure", Unit.PASCAL),
                        new Channel("element_drop", Unit.PASCAL))),
                new Header.Columns("air", List.of(new Channel("temperature", Unit.KELVIN)))),
            files,
            Optional.empty());
    Files.createDirectories(folder);
    try (FolderLock lock = FolderLock.take(folder)) {
      try (Journal journal = Journal.create(lock, Optional.empty(), header)) {
        journal.event(event(Kind.SEGMENT, Moment.START, 0, began.toString()));
        for (LiftPoint point : test.points()) {
          long at = point.keptAt().nanos();
          journal.row(at - 2_000_000, 0, -6974, 3000);
          journal.row(at - 1_000_000, 1, 294.15);
          String detail = "rung=" + point.rung() + " attempt=" + point.attempt();
          journal.kept(point, event(Kind.KEPT, point.keptAt(), journal.rows(), detail));
        }
        journal.event(
            event(Kind.STOPPED, Moment.ofSeconds(10_000), journal.rows(), "all rungs taken"));
      }
      new FolderFinish(Disk.REAL, folder)
          .finish(
              Optional.empty(),
              trouble -> {},
              test.plan().units(),
              test.name(),
              recovered -> new WorkedOut(withBesides(recovered.standing(), test), List.of()));
    }
    return folder;
  }

  /** The file of a bench, for a test that was taken elsewhere. */
  public static byte[] bench(String name, String id, boolean repeatability) {
    return utf8(
        BENCH
            .replace("NAME", name)
            .replace("ID", id)
            .replace("UPKEEP", repeatability ? REPEATABILITY : ""));
  }

  /** A test of the invented bench, nothing altered. */
  public static TestCurve plain(String name) {
    return new InventedBench(41, InventedBench.Errors.USUAL).run(name, Optional.empty(), lift -> 1);
  }

  /** The same test with a fast channel, a probe and a channel without a use. */
  public static TestCurve beside(TestCurve test, double pascals) {
    return new TestCurve(
        test.name(),
        test.bench(),
        test.calibration(),
        test.repeatability(),
        test.plan(),
        test.room(),
        test.health(),
        test.points().stream()
            .map(
                point ->
                    point.withBeside(
                        List.of(
                            beside(Band.LOW.word(), Unit.PASCAL, pascals),
                            beside(Beside.PROBE_VELOCITY, Unit.METRE_PER_SECOND, 60),
                            beside("board.<b>swirl", Unit.ONE, 0.25))))
            .toList());
  }

  private static Beside beside(String name, Unit unit, double value) {
    return new Beside(name, unit, value, OptionalDouble.of(0.05 * value));
  }

  /** What was measured beside the flow is no part of a journal, but reckoned from its rows. */
  private static List<LiftPoint> withBesides(List<LiftPoint> points, TestCurve test) {
    return points.stream()
        .map(point -> point.withBeside(test.points().get(point.rung() - 1).beside()))
        .toList();
  }

  private static TestEvent event(Kind kind, Moment at, long rows, String detail) {
    return new TestEvent(at, rows, EventText.what(kind, detail));
  }

  private static byte[] utf8(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }
}
