package meniscus.recorder.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import meniscus.core.compare.Question;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.recorder.archive.IndexEntry;
import meniscus.recorder.archive.PlateEntry;
import meniscus.recorder.archive.TestArchive;
import meniscus.recorder.archive.TestArchive.Found;
import meniscus.recorder.archive.TestSummary;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.OutPlace;
import meniscus.recorder.cli.terminal.ParquetOption;
import meniscus.recorder.cli.terminal.SearchOption;
import meniscus.recorder.cli.terminal.UnitsOption;
import meniscus.recorder.export.ChangeRows;
import meniscus.recorder.export.Form;
import meniscus.recorder.export.ParquetFile;
import meniscus.recorder.export.PlateRows;
import meniscus.recorder.export.PointRows;
import meniscus.recorder.export.Table;
import meniscus.recorder.export.TestRows;
import meniscus.recorder.file.TypedCurve;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.report.PortHistory;
import meniscus.recorder.report.TestRead;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code meniscus export}: tables for other programs, and the list of tests. */
@Command(
    name = "export",
    mixinStandardHelpOptions = true,
    sortOptions = false,
    description = {
      "Writes the points of tests as one table: CSV for spreadsheets, JSON, or Parquet. With"
          + " --list,",
      "lists the tests themselves. Test folders are only read."
    },
    footer = {
      "",
      "  meniscus export tests/intake-1 --out intake-1.csv",
      "  meniscus export tests --part \"heron intake\" --units inch --out heron.csv",
      "  meniscus export tests --since 2031-01-01 --change bowl --json > bowls.json",
      "  meniscus export tests --list --part heron --lift \"0.4 in\"",
      "  meniscus export tests --changes --out changes.csv",
      "  meniscus export plate-readings --plates --out plates.csv",
      "  meniscus export tests --out all.parquet --parquet-library duckdb_jdbc-2.0.0.1.jar",
      "",
      "CSV gives each time twice: as an instant (UTC), and behind all columns as a local date and",
      "time that a spreadsheet takes for one. In CSV a text that a spreadsheet could take for a"
          + " formula gets an apostrophe in front. Parquet",
      "is written by a free library that is downloaded once; docs/records.md tells how."
    })
final class ExportCommand implements Callable<Integer> {

  /** Letters that a name has in a list, at least. */
  private static final int NAME = 24;

  private final Console console;

  @Parameters(
      arity = "1..*",
      paramLabel = "FOLDER",
      description = "Test folders, or folders that hold test folders.")
  private List<Path> places;

  @Mixin private SearchOption search;

  @Option(names = "--list", description = "List the tests, one a line, instead of their points.")
  private boolean list;

  @Option(
      names = "--changes",
      description = "One row a change note, with what its step did, instead of points.")
  private boolean changes;

  @Option(
      names = "--plates",
      description = "One row a reading of an orifice plate, instead of points.")
  private boolean plates;

  @Mixin private UnitsOption units;

  @Option(
      names = "--out",
      paramLabel = "FILE",
      description = "Write there: .csv, .json or .parquet. Left out: to the terminal.")
  private Optional<Path> out = Optional.empty();

  @Option(names = "--replace", description = "Write over FILE when it is there already.")
  private boolean replace;

  @Option(names = "--json", description = "One JSON object.")
  private boolean json;

  @Option(
      names = "--decimal-comma",
      description = "CSV with a decimal comma and semicolons between columns.")
  private boolean decimalComma;

  @Option(
      names = "--time-zone",
      paramLabel = "ZONE",
      description = {
        "Whose clocks the local times in CSV are by, as Europe/Berlin.",
        "Left out: those of this computer."
      })
  private ZoneId zone = ZoneId.systemDefault();

  @Mixin private ParquetOption parquetLibrary;

  ExportCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    Optional<Form> text = form();
    out.ifPresent(file -> OutPlace.check(file, replace));
    if (plates) {
      return plates(text);
    }
    List<Found> found = search.find(places);
    Plan.Units in = units.units(usual(found));
    if (list && out.isEmpty() && !json && !decimalComma) {
      console.say(found.stream().map(test -> line(test.entry(), in)));
      return ExitCode.DONE;
    }
    if (list && changes) {
      throw CommandFailed.usage("ask for one of --list and --changes");
    }
    Table table = list ? TestRows.of(found, in) : changes ? changes(found, in) : points(found, in);
    return written(table, text, found.size() + (found.size() == 1 ? " test" : " tests"));
  }

  private int plates(Optional<Form> text) {
    if (list || changes || search.asks()) {
      throw CommandFailed.usage(
          "--plates goes without --list, --changes and what tests are found by");
    }
    List<PlateEntry> found =
        places.stream().flatMap(place -> TestArchive.of(place).plates().stream()).toList();
    if (found.isEmpty()) {
      throw CommandFailed.data("no readings of plates are there");
    }
    Table table = PlateRows.of(found, units.units(found.get(0).known().plate().plan().units()));
    return written(table, text, table.rows().size() + " readings of plates");
  }

  private int written(Table whole, Optional<Form> text, String what) {
    Table table = whole;
    if (text.isPresent() && text.get() != Form.JSON) {
      table = table.withLocalTimes(zone);
    }
    if (out.isEmpty()) {
      console.out().print(text.orElseThrow().text(table));
      console.out().flush();
      return ExitCode.DONE;
    }
    try {
      write(table, text, out.get());
    } catch (IOException e) {
      throw CommandFailed.data(out.get() + ": cannot be written: " + e.getMessage());
    }
    console.warn(what + " written to " + out.get());
    return ExitCode.DONE;
  }

  private void write(Table table, Optional<Form> text, Path file) throws IOException {
    if (text.isEmpty()) {
      ParquetFile.write(parquetLibrary.jar(), table, file);
      return;
    }
    WholeFile.write(file, text.get().file(table));
  }

  /** Empty for Parquet, which is no text. */
  private Optional<Form> form() {
    String name = out.map(file -> file.toString().toLowerCase(Locale.ROOT)).orElse("");
    boolean parquet = name.endsWith(".parquet");
    if (parquet != parquetLibrary.isGiven()) {
      throw parquet
          ? parquetLibrary.needed(
              out.get() + ": ", ". Without it: export to .json, which pandas and R read too")
          : CommandFailed.usage(needsName());
    }
    boolean asJson = json || name.endsWith(".json");
    boolean asCsv = decimalComma || name.endsWith(".csv");
    if (!parquet && !asJson && out.isPresent() && !name.endsWith(".csv")) {
      throw CommandFailed.usage(
          out.get()
              + ": the name of the file says what is written: end it in .csv, .json or .parquet");
    }
    if (asJson && asCsv || parquet && (asJson || asCsv)) {
      throw CommandFailed.usage("ask for one of JSON, CSV and Parquet");
    }
    if (parquet) {
      return Optional.empty();
    }
    return Optional.of(asJson ? Form.JSON : decimalComma ? Form.CSV_COMMA : Form.CSV);
  }

  private static String needsName() {
    return "--parquet-library is for Parquet: end the name after --out in .parquet";
  }

  private static Plan.Units usual(List<Found> found) {
    return found.stream()
        .flatMap(test -> test.entry().known().stream())
        .map(TestSummary::units)
        .findFirst()
        .orElse(new Plan.Units(Unit.MILLIMETRE, Unit.LITRE_PER_SECOND, Unit.PASCAL));
  }

  private Table changes(List<Found> found, Plan.Units in) {
    return ChangeRows.of(
        PortHistory.of(
            found.stream()
                .filter(test -> test.entry().known().isPresent())
                .map(test -> TestRead.open(test.folder()))
                .toList(),
            Question.PLAIN),
        in);
  }

  private Table points(List<Found> found, Plan.Units in) {
    List<Found> tests = found.stream().filter(one -> one.entry().typed().isEmpty()).toList();
    for (Found test : tests) {
      if (test.entry().known().isEmpty()) {
        throw CommandFailed.data(notReady(test));
      }
    }
    if (tests.size() < found.size()) {
      console.warn(
          (found.size() - tests.size())
              + " left out, for what was typed from elsewhere is no test: see it with --list");
    }
    try {
      return PointRows.of(tests, in);
    } catch (IOException e) {
      throw CommandFailed.data(e.getMessage());
    }
  }

  private static String notReady(Found test) {
    return test.entry().why().isEmpty()
        ? test.folder()
            + " holds an unfinished test: finish it with record --resume, or leave it out"
        : test.folder() + " is damaged: " + test.entry().why();
  }

  private static String line(IndexEntry entry, Plan.Units in) {
    return entry
        .known()
        .map(known -> line(entry.name(), known, in))
        .or(() -> entry.typed().map(typed -> line(entry, typed.typed(), in)))
        .orElseGet(() -> Text.of("%-10s  %-24s  %s", entry.stands(), entry.name(), entry.why()));
  }

  /** Put together by hand: of a hundred thousand, forms take as long as reading the index. */
  private static String line(String name, TestSummary known, Plan.Units in) {
    StringBuilder line = new StringBuilder();
    line.append(known.at().toString(), 0, 10).append("  ").append(name);
    line.append(" ".repeat(Math.max(0, NAME - name.length())));
    line.append(known.points() < 10 ? "   " : "  ").append(known.points()).append(" points");
    if (known.doubtful() > 0) {
      line.append(", ").append(known.doubtful()).append(" to look at again");
    }
    double flow = in.flow().fromSi(known.highestFlowM3PerS());
    line.append("  up to ").append(Text.tenths(flow)).append(' ').append(in.flow().symbol());
    return line.append("  ").append(about(known)).toString();
  }

  private static String line(IndexEntry entry, TypedCurve typed, Plan.Units in) {
    return Text.of(
        "%-10s  %-24s  %2d lifts, up to %.1f %s  %s (%s)",
        typed.on().map(LocalDate::toString).orElse(""),
        entry.name(),
        typed.curve().points().size(),
        in.flow().fromSi(typed.highestM3PerS()),
        in.flow().symbol(),
        typed.about(),
        TypedCurve.MARK);
  }

  private static String about(TestSummary known) {
    String part = String.join(", ", known.part().head(), known.part().port());
    return known.changes().isEmpty() ? part : part + ": " + String.join("; ", known.changes());
  }
}
