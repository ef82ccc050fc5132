package meniscus.recorder.cli;

import java.nio.file.Path;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.compare.CamFlow;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.compare.Question;
import meniscus.core.quantity.Value;
import meniscus.recorder.cli.terminal.QuantityOption;
import meniscus.recorder.file.CamFile;
import meniscus.recorder.folder.TypedFolder;
import picocli.CommandLine.Option;

/** How tests are compared, and what is set beside them. */
final class ComparingOption {

  @Option(
      names = "--margin",
      converter = QuantityOption.Ratio.class,
      paramLabel = "PERCENT",
      description = {
        "Changes smaller than this are no real change.",
        "Default: the smallest difference that can be decided."
      })
  private Value margin;

  @Option(
      names = {"--although", "--despite"},
      paramLabel = "REASON",
      description = "Compare although the set-ups differ, and why that is right.")
  private Optional<String> despite = Optional.empty();

  @Option(
      names = "--cam",
      paramLabel = "FILE",
      description = {
        "CSV of a cam's lift at the valve: crank (deg),lift (mm).",
        "Adds the mean flow through it; compare tells it with --json."
      })
  private Optional<Path> cam = Optional.empty();

  @Option(
      names = {"--typed-curve", "--elsewhere"},
      paramLabel = "FILE",
      description = "Set a curve that was typed in beside the tests; it gets no outcome.")
  private Optional<Path> elsewhere = Optional.empty();

  Question question(double resolution, boolean interpolate) {
    return new Question(
        margin == null ? OptionalDouble.empty() : OptionalDouble.of(margin.si()),
        resolution,
        despite,
        interpolate);
  }

  Optional<CamFlow.Cam> cam() {
    return cam.map(CamFile::read);
  }

  boolean besideTypedCurve() {
    return elsewhere.isPresent();
  }

  Optional<ExternalCurve> typedCurve() {
    return elsewhere.map(TypedFolder::curve);
  }
}
