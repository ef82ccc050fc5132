package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.Answers;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.QuantityOption;
import meniscus.recorder.file.CurveTable;
import meniscus.recorder.file.CurveTable.Column;
import meniscus.recorder.file.CurveTable.In;
import meniscus.recorder.file.CurveTable.Meaning;
import meniscus.recorder.file.DecimalMark;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.SpreadsheetTable;
import meniscus.recorder.file.TypedCurve;
import meniscus.recorder.folder.TypedFolder;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.report.TypedText;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code import}: old results out of a spreadsheet. */
@Command(
    name = "import",
    mixinStandardHelpOptions = true,
    description = {
      "Brings an old result in: one curve out of a spreadsheet's CSV, into a folder that lies"
          + " among",
      "your tests. Nobody knows how sure its numbers are, so it is drawn and listed, never judged."
    },
    footer = {
      "",
      "  meniscus import old.csv --into tests/heron-1998 --on 1998-05-06 --test-pressure \"25"
          + " inH2O\"",
      "  meniscus import old.csv --into tests/heron-1998 --lift-column Hub --flow-column \"Nr. 2\"",
      "  meniscus import old.csv --into tests/heron-1998 --lift-unit mm --flow-unit L/s --decimal"
          + " comma",
      "",
      "The first line of the file names the columns, with units if you like: lift (in), flow"
          + " (cfm),",
      "test pressure (inH2O). A unit that neither the heading nor an option tells is asked for."
    })
final class ImportCommand implements Callable<Integer> {

  private final Console console;
  private final Answers answers;

  @Parameters(paramLabel = "FILE.csv", description = "What the spreadsheet saved as CSV.")
  private Path file;

  @Option(
      names = "--into",
      required = true,
      paramLabel = "DIR",
      description = "A new folder, best among your tests.")
  private Path into;

  @Option(
      names = "--lift-column",
      paramLabel = "NAME",
      description = "Heading of the lifts, or the column's number. Left out: lift.")
  private Optional<String> liftColumn = Optional.empty();

  @Option(
      names = "--flow-column",
      paramLabel = "NAME",
      description = "Heading of the flows, or the column's number. Left out: flow.")
  private Optional<String> flowColumn = Optional.empty();

  @Option(
      names = "--pressure-column",
      paramLabel = "NAME",
      description = "Heading of the test pressures. Left out: test pressure, if there is one.")
  private Optional<String> pressureColumn = Optional.empty();

  @Option(
      names = "--units",
      paramLabel = "inch|metric",
      description = "in, cfm and inH2O; or mm, L/s and Pa, where no heading says otherwise.")
  private UnitSystem system;

  @Option(names = "--lift-unit", paramLabel = "UNIT", description = "Unit of the lifts.")
  private Optional<String> liftUnit = Optional.empty();

  @Option(names = "--flow-unit", paramLabel = "UNIT", description = "Unit of the flows.")
  private Optional<String> flowUnit = Optional.empty();

  @Option(names = "--pressure-unit", paramLabel = "UNIT", description = "Unit of the pressures.")
  private Optional<String> pressureUnit = Optional.empty();

  @Option(
      names = "--test-pressure",
      converter = QuantityOption.Pressure.class,
      paramLabel = "PRESSURE",
      description = "Where no column tells it. Left out: not known, and flows stay as they are.")
  private Value testPressure;

  @Option(
      names = "--decimal",
      paramLabel = "point|comma",
      description = "What stands before the tenths. Left out: found out, or asked for.")
  private DecimalMark decimal;

  @Option(names = "--name", paramLabel = "WORDS", description = "Where the curve comes from.")
  private Optional<String> name = Optional.empty();

  @Option(
      names = "--on",
      paramLabel = "DAY",
      description = "The day it was measured, such as 1998-05-06.")
  private Optional<LocalDate> on = Optional.empty();

  @Option(names = "--head", paramLabel = "WORDS", description = "Which head, as in your plans.")
  private Optional<String> head = Optional.empty();

  @Option(names = "--chamber", paramLabel = "WORDS", description = "Which chamber of it.")
  private String chamber = "";

  @Option(names = "--port", paramLabel = "WORDS", description = "Which port of it.")
  private String port = "";

  @Option(names = "--valve-job", paramLabel = "WORDS", description = "The cut.")
  private String valveJob = "";

  @Option(names = "--reference", paramLabel = "WORDS", description = "The customer's reference.")
  private String reference = "";

  @Option(
      names = "--port-kind",
      paramLabel = "intake|exhaust",
      description = "What kind of port it is.")
  private PortKind kind;

  @Option(names = "--json", description = "One JSON object: what was read.")
  private boolean json;

  ImportCommand(Console console) {
    this.console = console;
    this.answers = new Answers(console);
  }

  @Override
  public Integer call() throws InterruptedException {
    if (head.isEmpty() && !(chamber + port + valveJob + reference).isEmpty()) {
      throw CommandFailed.usage("--chamber, --port, --valve-job and --reference go with --head");
    }
    try {
      byte[] original = SpreadsheetTable.bytes(file);
      CurveTable table = new CurveTable(SpreadsheetTable.parse(file, original));
      In lift = in(found(table, Meaning.LIFT, liftColumn), liftUnit);
      In flow = in(found(table, Meaning.FLOW, flowColumn), flowUnit);
      Optional<Column> told =
          testPressure != null && pressureColumn.isEmpty()
              ? Optional.empty()
              : table.find(Meaning.PRESSURE, pressureColumn);
      Optional<In> pressure =
          told.isEmpty() ? Optional.empty() : Optional.of(in(told.get(), pressureUnit));
      CurveTable.Read read = table.read(lift, flow, pressure, Optional.ofNullable(decimal));
      TypedFolder written =
          TypedFolder.write(into, typed(read, units(lift, flow, pressure)), original);
      tell(written, read.leftOut());
      return ExitCode.DONE;
    } catch (IOException e) {
      throw CommandFailed.data(into + ": cannot be written: " + e.getMessage());
    } catch (Refusal e) {
      throw CommandFailed.data(file + ": " + e.getMessage());
    }
  }

  private Column found(CurveTable table, Meaning meaning, Optional<String> asked) {
    return table
        .find(meaning, asked)
        .orElseThrow(
            () ->
                new FileNotAccepted(
                    file
                        + ": which column is the "
                        + meaning.word()
                        + "? Say it with --"
                        + meaning.word()
                        + "-column; "
                        + table.headings()));
  }

  /** By the option, else the heading, else the system, else what is answered. */
  private In in(Column column, Optional<String> asked) throws InterruptedException {
    Dimension dimension = column.meaning().dimension();
    if (asked.isPresent()) {
      return new In(column, unit(asked.get(), dimension));
    }
    if (column.unit().isPresent()) {
      return new In(column, column.unit().get());
    }
    if (system != null) {
      return new In(column, system.unit(dimension));
    }
    List<Unit> units = Unit.of(dimension);
    List<String> words =
        units.stream().map(unit -> unit.symbol().toLowerCase(Locale.ROOT)).toList();
    String answer =
        answers.one(
            "In which unit is the "
                + column.meaning().word()
                + "? Type one of: "
                + units.stream().map(Unit::symbol).collect(Collectors.joining(", "))
                + " (or say it with --"
                + column.meaning().word()
                + "-unit)",
            words);
    return new In(column, units.get(words.indexOf(answer)));
  }

  private static Unit unit(String name, Dimension dimension) {
    try {
      return Unit.named(name, dimension);
    } catch (Refusal e) {
      throw CommandFailed.usage(e.getMessage());
    }
  }

  private Plan.Units units(In lift, In flow, Optional<In> pressure) {
    UnitSystem usual = UnitSystem.of(lift.unit());
    return new Plan.Units(
        lift.unit(),
        flow.unit(),
        pressure.map(In::unit).orElseGet(() -> usual.unit(Dimension.PRESSURE)));
  }

  private TypedCurve typed(CurveTable.Read read, Plan.Units units) {
    OptionalDouble pressure =
        testPressure == null ? read.testPressurePa() : OptionalDouble.of(testPressure.si());
    String called = name.orElseGet(() -> file.getFileName().toString());
    return new TypedCurve(
        new ExternalCurve(called, pressure, OptionalDouble.empty(), read.points()),
        units,
        head.map(which -> new Plan.Part(which, chamber, port, valveJob, reference)),
        Optional.ofNullable(kind),
        on);
  }

  private void tell(TypedFolder written, int leftOut) {
    if (json) {
      ObjectNode object = JsonOut.object();
      object.put("folder", written.folder().toString()).put("left_out", leftOut);
      object.set("typed", TypedText.json(List.of(written)).get(0));
      console.json(object);
      return;
    }
    List<String> lines = new ArrayList<>(TypedText.lines(List.of(written)));
    lines.forEach(console::say);
    if (leftOut > 0) {
      console.warn(
          leftOut
              + (leftOut == 1 ? " row" : " rows")
              + " without a lift or a flow, or with the valve shut, left out");
    }
  }
}
