package meniscus.recorder.cli.upkeep;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.Range;
import meniscus.core.flow.Direction;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.file.CalibrationFile;

/** The calibration that a bench uses now, from its file beside the bench file. */
final class CurrentCalibration {

  private CurrentCalibration() {}

  static Calibration of(Bench bench, Path benchFile, Direction direction, Range range)
      throws IOException {
    CalibrationRef current =
        bench
            .upkeep()
            .calibration(direction, range.name())
            .orElseThrow(
                () ->
                    CommandFailed.bench(
                        "range \""
                            + range.name()
                            + "\" has no calibration on "
                            + direction.word()
                            + " yet: run calibrate first"));
    String name = CalibrationFile.name(current.sha256());
    Path file = benchFile.toAbsolutePath().getParent().resolve(name);
    if (!Files.exists(file)) {
      throw CommandFailed.data("there is no file " + file + ", which the bench file names");
    }
    return CalibrationFile.parse(name, Files.readAllBytes(file), current.sha256());
  }
}
