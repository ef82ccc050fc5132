package meniscus.recorder.report;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.compare.Aims;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.compare.Series;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.file.CurveFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.SeriesFile;

/**
 * What somebody wants of a port.
 *
 * @param series states that are planned for it
 * @param aims flows that it is to reach
 */
public record Ahead(Optional<Series> series, Optional<Aims> aims) {

  /** Nothing was said. */
  public static final Ahead NONE = new Ahead(Optional.empty(), Optional.empty());

  /**
   * What is said by files and by single flows.
   *
   * @param target file of a curve to reach, instead of {@code flows}
   * @param flows each as "245 cfm at 0.600 in"
   * @throws Refusal when a flow cannot be read, or both are given
   * @throws FileNotAccepted when a file cannot be read
   */
  public static Ahead read(Optional<Path> series, Optional<Path> target, List<String> flows) {
    if (target.isPresent() && !flows.isEmpty()) {
      throw new Refusal("a target curve and single aims: give one of them");
    }
    Optional<Aims> curve = target.map(file -> aims(CurveFile.read(file)));
    return new Ahead(series.map(SeriesFile::read), curve.or(() -> aims(flows)));
  }

  private static Aims aims(ExternalCurve curve) {
    return new Aims(
        curve.name(),
        curve.testPressurePa(),
        curve.points().stream()
            .map(point -> new Aims.Point(point.liftM(), point.flowM3PerS()))
            .toList());
  }

  private static Optional<Aims> aims(List<String> flows) {
    return flows.isEmpty()
        ? Optional.empty()
        : Optional.of(
            new Aims("", OptionalDouble.empty(), flows.stream().map(Aims.Point::parse).toList()));
  }
}
