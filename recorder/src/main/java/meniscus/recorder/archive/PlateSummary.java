package meniscus.recorder.archive;

import java.io.IOException;
import java.time.Instant;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.lift.LiftPoint;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.PlateFile;
import meniscus.recorder.file.PlateMounted;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;

/**
 * What is known of the readings of one mounted plate without opening their folder.
 *
 * @param at when they began
 * @param bench what people call it
 * @param plate that was mounted
 * @param flows that were read, in the order of its test pressures
 */
public record PlateSummary(Instant at, String bench, PlateMounted plate, List<Flow> flows) {

  /**
   * What the bench told at one test pressure, with what it knew on that day.
   *
   * @param testPressurePa mean [Pa]
   * @param m3PerS flow of reference air [m³/s]
   * @param u95M3PerS half-width of its 95 % interval [m³/s]; empty when not known
   * @param effectiveAreaM2 CdA [m²]
   */
  public record Flow(
      double testPressurePa, double m3PerS, OptionalDouble u95M3PerS, double effectiveAreaM2) {}

  public PlateSummary {
    flows = List.copyOf(flows);
  }

  /**
   * @param test of a plate
   */
  static PlateSummary of(TestFolder test) throws IOException {
    return new PlateSummary(
        test.created(),
        BenchFile.parse(Header.BENCH, test.text(Header.BENCH)).name(),
        PlateFile.parse(Header.PLATE, test.text(Header.PLATE)),
        test.points().stream().map(PlateSummary::flow).toList());
  }

  private static Flow flow(LiftPoint point) {
    return new Flow(
        point.testPressurePa(), point.flowM3PerS(), point.flowU95(), point.effectiveAreaM2());
  }
}
