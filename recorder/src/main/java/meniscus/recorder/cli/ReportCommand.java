package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.compare.Question;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.archive.TestArchive.Found;
import meniscus.recorder.cli.terminal.AheadOption;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.SearchOption;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.folder.TypedFolder;
import meniscus.recorder.report.Ahead;
import meniscus.recorder.report.Charts;
import meniscus.recorder.report.Extras;
import meniscus.recorder.report.HeadSheet;
import meniscus.recorder.report.HistoryJson;
import meniscus.recorder.report.HistoryPage;
import meniscus.recorder.report.HistoryText;
import meniscus.recorder.report.PortHistory;
import meniscus.recorder.report.Report;
import meniscus.recorder.report.ShortSheet;
import meniscus.recorder.report.TestRead;
import meniscus.recorder.report.TypedText;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code meniscus report}: a report for paper. */
@Command(
    name = "report",
    mixinStandardHelpOptions = true,
    description = {
      "Writes a report as one HTML file: read it in a browser, print it on A4 or Letter.",
      "With --before and --after it is about the change, else about the tests given.",
      "With --head it is one page for a head, with --short one page for a customer.",
      "With --history it tells each port's way: as received, change after change, and what each",
      "step gained; without --out that is printed."
    },
    footer = {
      "",
      "  meniscus report after --out port-1.html",
      "  meniscus report --before before --after after --out port-1.html",
      "  meniscus report --short --before before --after after --out customer.html --charts charts",
      "  meniscus report --head tests --part heron --out head.html",
      "  meniscus report --history tests --part \"job 7\"",
      "  meniscus report --history tests --part heron --out heron.html",
      "  meniscus report --history tests --series series.json --aim \"245 cfm at 0.600 in\""
    })
final class ReportCommand implements Callable<Integer> {

  private final Console console;

  @Parameters(
      arity = "0..*",
      paramLabel = "TEST",
      description = "Test folders; with --history also folders that hold them.")
  private List<Path> tests = List.of();

  @Option(
      names = "--before",
      arity = "1..*",
      paramLabel = "BEFORE",
      description = "Test folders before the change.")
  private List<Path> before = List.of();

  @Option(
      names = "--after",
      arity = "1..*",
      paramLabel = "AFTER",
      description = "Test folders after the change.")
  private List<Path> after = List.of();

  @Option(
      names = "--rules-of-thumb",
      description = "Say what is common practice (without a source) beside the numbers.")
  private boolean rulesOfThumb;

  @Option(
      names = "--head",
      description =
          "One page for a head: its ports beside each other, lift by lift, as they are now.")
  private boolean head;

  @Option(
      names = "--short",
      description = "One page for a customer: curve, table, what was done, how sure it is.")
  private boolean shortSheet;

  @Option(
      names = "--charts",
      paramLabel = "DIR",
      description =
          "Also write each chart, and a card with the result in big type, as SVG and PNG into DIR.")
  private Optional<Path> charts = Optional.empty();

  @Option(names = "--history", description = "The way of each port, with the gain of each step.")
  private boolean history;

  @Mixin private SearchOption search;

  @Mixin private AheadOption ahead;

  @Mixin private ComparingOption comparing;

  @Option(names = "--json", description = "With --history: one JSON object.")
  private boolean json;

  @Option(names = "--out", paramLabel = "FILE", description = "The report.")
  private Optional<Path> out = Optional.empty();

  ReportCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    try {
      return history ? history() : head ? head() : report();
    } catch (Refusal | FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    }
  }

  private int history() {
    if (tests.isEmpty() || !before.isEmpty()) {
      throw CommandFailed.usage(
          "--history needs the folders that hold the tests, and nothing else");
    }
    Ahead wanted = ahead.read();
    List<Found> found = search.find(tests);
    List<PortHistory> ports = PortHistory.of(read(found), question());
    List<TypedFolder> typed = found.stream().flatMap(one -> one.entry().typed().stream()).toList();
    if (out.isPresent()) {
      write(out.get(), HistoryPage.of(ports, typed, wanted));
    } else if (json) {
      ObjectNode tree = HistoryJson.of(ports, wanted);
      tree.set("typed", TypedText.json(typed));
      console.as("history").json(tree);
    } else {
      HistoryText.lines(ports, wanted).forEach(console::say);
      TypedText.lines(typed).forEach(console::say);
    }
    return ExitCode.DONE;
  }

  private int head() {
    if (tests.isEmpty() || !before.isEmpty() || out.isEmpty() || shortSheet || charts.isPresent()) {
      throw CommandFailed.usage(
          "--head needs the folders that hold the head's tests and --out FILE, and nothing else");
    }
    write(out.get(), HeadSheet.of(read(search.find(tests)), question()));
    return ExitCode.DONE;
  }

  /** The finished tests of what was found. */
  private static List<TestRead> read(List<Found> found) {
    List<TestRead> read =
        found.stream()
            .filter(one -> one.entry().typed().isEmpty())
            .filter(one -> !one.entry().stands().equals("unfinished"))
            .map(one -> TestRead.open(one.folder()))
            .toList();
    if (read.isEmpty()) {
      throw CommandFailed.data("no test is finished yet: finish them with record --resume");
    }
    return read;
  }

  private int report() {
    if (out.isEmpty() && charts.isEmpty()) {
      throw CommandFailed.usage("say where the report goes: --out FILE");
    }
    if (before.isEmpty() != after.isEmpty()) {
      throw CommandFailed.usage("--before and --after go together: give test folders for both");
    }
    if (tests.isEmpty() && before.isEmpty()) {
      throw CommandFailed.usage("name a test folder, or --before and --after");
    }
    List<TestRead> read = opened(tests.stream().filter(one -> !TypedFolder.is(one)).toList());
    Optional<Report.Compared> compared =
        compared()
            .or(() -> shortSheet ? Report.Compared.ofOnePort(read, question()) : Optional.empty());
    if (read.isEmpty() && compared.isEmpty()) {
      throw CommandFailed.usage(
          "what was typed from elsewhere is drawn beside tests: name a test folder too");
    }
    out.ifPresent(
        file ->
            write(
                file,
                shortSheet ? ShortSheet.of(read, compared) : Report.of(read, compared, extras())));
    charts.ifPresent(folder -> charts(folder, Charts.of(read, compared)));
    return ExitCode.DONE;
  }

  private void charts(Path folder, List<Charts.Chart> charts) {
    try {
      Files.createDirectories(folder);
      for (Charts.Chart chart : charts) {
        Files.writeString(
            folder.resolve(chart.name() + ".svg"), chart.svg(), StandardCharsets.UTF_8);
      }
      console.warn("charts written to " + folder);
      for (Charts.Chart chart : charts) {
        Files.write(folder.resolve(chart.name() + ".png"), chart.png());
      }
    } catch (IOException e) {
      throw CommandFailed.data(folder + ": cannot be written: " + e.getMessage());
    }
  }

  private Extras extras() {
    List<ExternalCurve> typed =
        Stream.concat(
                comparing.typedCurve().stream(),
                tests.stream().filter(TypedFolder::is).map(TypedFolder::curve))
            .toList();
    return new Extras(comparing.cam(), typed, rulesOfThumb, ahead.read().aims());
  }

  private void write(Path file, String report) {
    try {
      Files.writeString(file, report, StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw CommandFailed.data(file + ": cannot be written: " + e.getMessage());
    }
    console.warn("report written to " + file);
  }

  private Question question() {
    return comparing.question(Question.USUAL_RESOLUTION, false);
  }

  private Optional<Report.Compared> compared() {
    if (before.isEmpty()) {
      return Optional.empty();
    }
    return Optional.of(Report.Compared.of(opened(before), opened(after), question()));
  }

  private static List<TestRead> opened(List<Path> folders) {
    return folders.stream().map(TestRead::open).toList();
  }
}
