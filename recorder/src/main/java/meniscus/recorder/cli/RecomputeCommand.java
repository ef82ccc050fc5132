package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedMap;
import java.util.concurrent.Callable;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;
import meniscus.core.uncertainty.Budget;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.NotesFile;
import meniscus.recorder.folder.DifferingRungs;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.folder.WorkedOut;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.session.Assembly;
import meniscus.recorder.session.Finish;
import meniscus.recorder.session.FolderFiles;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code recompute}: works a test folder out again from its raw samples. */
@Command(
    name = "recompute",
    mixinStandardHelpOptions = true,
    description = {
      "Works a test folder out again from its raw samples. Without another bench the points must be",
      "the same to the last digit; with one (a newer calibration) old and new stand side by side."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus recompute tests/intake-1",
      "  meniscus recompute tests/intake-1 --budget",
      "  meniscus recompute tests/intake-1 --bench bench.json --json"
    })
final class RecomputeCommand implements Callable<Integer> {

  private final Console console;

  @Parameters(paramLabel = "DIR", description = "the test folder")
  private Path folder;

  @Option(
      names = "--bench",
      paramLabel = "FILE",
      description = "use this bench, with its zeros, leakage and calibrations, instead")
  private Optional<Path> bench = Optional.empty();

  @Option(names = "--json", description = "one JSON object")
  private boolean json;

  @Option(
      names = "--budget",
      description = "print where the uncertainty of each lift's flow comes from, largest first")
  private boolean budget;

  RecomputeCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    try {
      TestFolder test = TestFolder.open(folder);
      WorkedOut workedOut = Finish.workedOut(test, Assembly.of(files(test)));
      List<LiftPoint> again = workedOut.points();
      List<Integer> differing = DifferingRungs.of(test, workedOut);
      tell(test, again, differing);
      if (!notesInOrder(test)) {
        return ExitCode.BAD_DATA;
      }
      if (bench.isPresent()) {
        return again.stream().anyMatch(LiftPoint::doubtful)
            ? ExitCode.DONE_WITH_DOUBT
            : ExitCode.DONE;
      }
      return differing.isEmpty() ? ExitCode.DONE : ExitCode.BAD_DATA;
    } catch (Refusal | FileNotAccepted | IOException e) {
      String message = e.getMessage();
      throw CommandFailed.data(
          message.contains(folder.toString()) ? message : folder + ": " + message);
    }
  }

  /** Notes may be changed by hand, which is said; what can no longer be read is damage. */
  private boolean notesInOrder(TestFolder test) throws IOException {
    if (!test.notesChanged()) {
      return true;
    }
    Path notes = folder.resolve(TestFolder.NOTES);
    try {
      NotesFile.parse(notes.toString(), test.text(TestFolder.NOTES));
      console.warn(notes + " was changed outside the program since it was written");
      return true;
    } catch (FileNotAccepted e) {
      console.warn(
          e.getMessage()
              + ". It was changed outside the program: mend it, or take it from a copy; the readings"
              + " and points are not touched by it");
      return false;
    }
  }

  private SortedMap<String, byte[]> files(TestFolder test) throws IOException {
    SortedMap<String, byte[]> files = FolderFiles.of(test);
    if (bench.isPresent()) {
      files.keySet().removeIf(name -> name.startsWith("calibrations/") || name.startsWith("calm/"));
      files.putAll(FolderFiles.ofBench(bench.get()));
    }
    return files;
  }

  private void tell(TestFolder test, List<LiftPoint> again, List<Integer> differing)
      throws IOException {
    Map<Integer, LiftPoint> before = new HashMap<>();
    test.points().forEach(point -> before.put(point.rung(), point));
    if (json) {
      ObjectNode object = asJson(test.units(), before, again, differing);
      if (budget) {
        addBudgets(object.withArray("points"), again, test.units().flow());
      }
      console.json(object);
      return;
    }
    Unit flow = test.units().flow();
    for (LiftPoint point : again) {
      LiftPoint old = before.get(point.rung());
      console.say(
          Text.of(
              "%2d  %s  flow %10.3f %s  %s",
              point.rung(),
              rung(test, point),
              flow.fromSi(point.flowM3PerS()),
              flow.symbol(),
              differing.contains(point.rung())
                  ? old == null
                      ? "was not in points.csv"
                      : Text.of("was %.3f", flow.fromSi(old.flowM3PerS()))
                  : "the same"));
      if (budget) {
        console.say(new Budget(point.budget()).table("flow", point.flowM3PerS(), flow));
      }
    }
    console.say(
        differing.isEmpty()
            ? "the same to the last digit"
                + (test.verdictsByOtherRules() ? "; verdicts and remarks are by newer rules" : "")
            : differing.size()
                + (test.isOfPlate() ? " readings differ" : " lifts differ")
                + (bench.isPresent() ? "" : ": " + hint()));
  }

  /** By its lift; of a plate, which has none, by its test pressure. */
  private static String rung(TestFolder test, LiftPoint point) {
    Unit unit = test.isOfPlate() ? test.units().pressure() : test.units().lift();
    double si = test.isOfPlate() ? point.testPressurePa() : point.liftM();
    return Text.of(
        "%s %8.3f %s", test.isOfPlate() ? "test pressure" : "lift", unit.fromSi(si), unit.symbol());
  }

  /** Each source with what it does to the flow (one standard uncertainty), largest first. */
  private static void addBudgets(ArrayNode rows, List<LiftPoint> points, Unit flow) {
    for (int i = 0; i < points.size(); i++) {
      ArrayNode sources = ((ObjectNode) rows.get(i)).putArray("budget");
      new Budget(points.get(i).budget())
          .bySource()
          .forEach(
              (source, variance) ->
                  sources
                      .addObject()
                      .put("from", source)
                      .put("flow", flow.fromSi(Math.sqrt(variance))));
    }
  }

  private static String hint() {
    return "the folder was written by another version, or its files do not belong together";
  }

  private static ObjectNode asJson(
      Plan.Units units,
      Map<Integer, LiftPoint> before,
      List<LiftPoint> again,
      List<Integer> differing) {
    ObjectNode object = JsonOut.object();
    object.put("same", differing.isEmpty());
    object.put("flow_unit", units.flow().symbol()).put("lift_unit", units.lift().symbol());
    object.put("pressure_unit", units.pressure().symbol());
    JsonOut.list(
        object,
        "points",
        again,
        (row, point) -> {
          row.put("rung", point.rung());
          row.put("lift", units.lift().fromSi(point.liftM()));
          row.put("test_pressure", units.pressure().fromSi(point.testPressurePa()));
          row.put("flow", units.flow().fromSi(point.flowM3PerS()));
          JsonOut.exact(row, "flow_u95", point.flowU95(), units.flow());
          Optional.ofNullable(before.get(point.rung()))
              .ifPresentOrElse(
                  old -> row.put("flow_before", units.flow().fromSi(old.flowM3PerS())),
                  () -> row.putNull("flow_before"));
          row.put("same", !differing.contains(point.rung()));
        });
    return object;
  }
}
