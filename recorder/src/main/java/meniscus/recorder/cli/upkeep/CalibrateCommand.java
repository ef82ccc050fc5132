package meniscus.recorder.cli.upkeep;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Calibration;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.Evidence;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.CalibrationFit;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.flow.Direction;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.TargetOption;
import meniscus.recorder.feed.BenchFault;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.CalibrationFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.PlatesFile;
import meniscus.recorder.file.ReadingLine;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.report.CalibrationPage;
import meniscus.recorder.upkeep.BenchAt;
import meniscus.recorder.upkeep.LeakTest;
import meniscus.recorder.upkeep.PlateRun;
import meniscus.recorder.upkeep.ReadingsSoFar;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code calibrate}: fits the flow element through orifice plates. */
@Command(
    name = "calibrate",
    mixinStandardHelpOptions = true,
    description = {
      "Reads orifice plates in the head's place, one after the other, at several test pressures,",
      "and fits the flow element through them. Suction and blowing are calibrated apart, and so is",
      "each range. The result is a new file in calibrations/ beside the bench file; older ones",
      "stay. A plate that disagrees with the others is named (exit code 5). Columns read by eye are",
      "asked for."
    },
    footer = {
      "",
      "Each reading is kept at once in a file beside the bench file. When the command is",
      "interrupted, the next one offers them: nobody has to mount those plates again.",
      "",
      "Take zero and leakage first. The sharp edge meets the air: the bevel looks downstream.",
      "Example:",
      "  meniscus calibrate --bench bench.json --plates plates.json --direction suction \\",
      "      --range large --report calibration.html"
    })
public final class CalibrateCommand implements Callable<Integer> {

  private final Console console;

  @Mixin private UpkeepOptions options;

  @Option(names = "--plates", required = true, paramLabel = "FILE", description = "the plates file")
  private Path plates;

  @Option(names = "--direction", required = true, paramLabel = "suction|blowing")
  private String direction;

  @Option(names = "--range", paramLabel = "NAME", description = "range to calibrate")
  private Optional<String> range = Optional.empty();

  @Option(
      names = "--at",
      paramLabel = "P,P,…",
      defaultValue = "10 inH2O, 20 inH2O, 28 inH2O",
      description = "test pressures of each plate (default ${DEFAULT-VALUE})")
  private String at;

  @Option(
      names = "--leave-out",
      paramLabel = "NAME",
      description = "a plate that is not to be used; may be given again")
  private Set<String> leaveOut = Set.of();

  @Option(names = "--report", paramLabel = "FILE", description = "write a page for printing here")
  private Optional<Path> report = Optional.empty();

  @Mixin private TargetOption target;

  public CalibrateCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    Direction way = UpkeepOptions.direction(direction);
    List<Double> pressures = UpkeepOptions.pressures(at);
    try {
      Bench bench = options.read();
      Range chosen = UpkeepOptions.range(bench, range);
      List<Plate> all = PlatesFile.read(plates);
      UpkeepOptions.plates(all, leaveOut, plates);
      List<Plate> used = all.stream().filter(p -> !leaveOut.contains(p.name())).toList();
      BenchAt reached = options.at(bench, console).withTarget(target.si());
      PlatesAtTerminal operator = new PlatesAtTerminal(console, way, reached.simulated());
      ReadingsSoFar<ReadingLine> soFar =
          ReadingsSoFar.ofCalibration(options.bench, way, chosen, operator);
      List<PlateReading> readings =
          new PlateRun(reached, chosen, way).read(used, pressures, operator, soFar);
      Calibration fitted =
          CalibrationFit.fit(
              bench,
              chosen,
              way,
              bench.upkeep().leakage(way, LeakTest.BLANKED).or(() -> bench.upkeep().leakage(way)),
              used,
              readings,
              Instant.now());
      int code = keep(bench, fitted, operator.missed());
      soFar.done();
      return code;
    } catch (FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    } catch (Refusal | BenchFault e) {
      throw CommandFailed.bench(e.getMessage());
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    }
  }

  private int keep(Bench bench, Calibration fitted, int missed) throws IOException {
    Path folder = options.bench.toAbsolutePath().getParent();
    Calibration kept = CalibrationFile.write(folder, fitted);
    Bench updated =
        bench.with(
            upkeep ->
                upkeep.withCalibration(
                    new CalibrationRef(kept.direction(), kept.range(), kept.id(), kept.at())));
    BenchFile.write(options.bench, updated);
    if (report.isPresent()) {
      WholeFile.write(
          report.get(),
          CalibrationPage.html(updated, kept, ByEye.calmCanBeTaken(updated, options.bench)));
    }
    tell(kept);
    boolean doubt =
        missed > 0
            || kept.evidence().disagreeing().isPresent()
            || kept.evidence().widened() > 1
            || kept.evidence().plates().isEmpty();
    return doubt ? ExitCode.DONE_WITH_DOUBT : ExitCode.DONE;
  }

  private void tell(Calibration kept) {
    if (options.json) {
      console.json(json(kept));
      return;
    }
    Evidence evidence = kept.evidence();
    for (Evidence.PlateResult plate : evidence.plates()) {
      console.say(
          String.format(
              Locale.ROOT,
              "plate %-8s %+6.2f %% from what the others predict (± %.2f %%)",
              plate.plate(),
              100 * plate.error(),
              200 * plate.standardUncertainty()));
    }
    double middle = kept.element().referenceDropPa();
    console.say(
        String.format(
            Locale.ROOT,
            "the element passes %+.2f %% against its description, ± %.2f %% (95 %%), from %.0f to"
                + " %.0f Pa drop",
            100 * (kept.element().correction(middle) - 1),
            196 * u(kept),
            kept.element().lowestDropPa(),
            kept.element().highestDropPa()));
    evidence.remarks().forEach(console::say);
    console.say("written as " + CalibrationFile.name(kept.id()));
  }

  /** Relative standard uncertainty of the correction in the middle of the drops. */
  private static double u(Calibration kept) {
    return Math.sqrt(kept.element().covariance().get(0).get(0))
        / kept.element().coefficients().get(0);
  }

  private static ObjectNode json(Calibration kept) {
    ObjectNode object = JsonNodeFactory.instance.objectNode();
    object
        .put("sha256", kept.id())
        .put("direction", kept.direction().word())
        .put("range", kept.range());
    ArrayNode coefficients = object.putArray("coefficients");
    kept.element().coefficients().forEach(coefficients::add);
    object
        .put("reference_drop_pa", kept.element().referenceDropPa())
        .put("lowest_drop_pa", kept.element().lowestDropPa())
        .put("highest_drop_pa", kept.element().highestDropPa())
        .put("relative_u95", 1.96 * u(kept))
        .put("chi_square", kept.evidence().chiSquare())
        .put("degrees_of_freedom", kept.evidence().degreesOfFreedom())
        .put("chance_of_worse", kept.evidence().chanceOfWorse())
        .put("leave_one_out_error", kept.evidence().leaveOneOutError())
        .put("disagreeing", kept.evidence().disagreeing().orElse(null));
    ArrayNode plates = object.putArray("plates");
    for (Evidence.PlateResult plate : kept.evidence().plates()) {
      plates
          .addObject()
          .put("plate", plate.plate())
          .put("error", plate.error())
          .put("standard_uncertainty", plate.standardUncertainty());
    }
    ArrayNode remarks = object.putArray("remarks");
    kept.evidence().remarks().forEach(remarks::add);
    return object;
  }
}
