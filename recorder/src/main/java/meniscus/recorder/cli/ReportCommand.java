package meniscus.recorder.cli;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Question;
import meniscus.core.quantity.Value;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.report.Report;
import meniscus.recorder.report.TestRead;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code meniscus report}: a report for paper. */
@Command(
    name = "report",
    mixinStandardHelpOptions = true,
    description = {
      "Write a report as one HTML file: read it in a browser, print it on A4 or Letter.",
      "With --before and --after it is about the change, else about the tests given."
    },
    footer = {
      "",
      "  meniscus report after --out port-1.html",
      "  meniscus report --before before --after after --out port-1.html"
    })
final class ReportCommand implements Callable<Integer> {

  private final Console console;

  @Parameters(arity = "0..*", paramLabel = "TEST", description = "Test folders.")
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
      names = "--margin",
      converter = QuantityOption.Ratio.class,
      paramLabel = "PERCENT",
      description = "Changes smaller than this are no real change.")
  private Value margin;

  @Option(
      names = "--despite",
      paramLabel = "REASON",
      description = "Compare although the set-ups differ, and why that is right.")
  private String despite;

  @Option(names = "--out", required = true, paramLabel = "FILE", description = "The report.")
  private Path out;

  ReportCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    if (before.isEmpty() != after.isEmpty()) {
      throw CommandFailed.usage("--before and --after go together: give test folders for both");
    }
    if (tests.isEmpty() && before.isEmpty()) {
      throw CommandFailed.usage("name a test folder, or --before and --after");
    }
    String report;
    try {
      report = Report.of(read(tests), compared());
    } catch (IllegalArgumentException | FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    }
    try {
      Files.writeString(out, report, StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw CommandFailed.data(out + ": cannot be written: " + e.getMessage());
    }
    console.warn("report written to " + out);
    return ExitCode.DONE;
  }

  private Optional<Report.Compared> compared() {
    if (before.isEmpty()) {
      return Optional.empty();
    }
    Question question =
        new Question(
            margin == null ? OptionalDouble.empty() : OptionalDouble.of(margin.si()),
            Question.USUAL_RESOLUTION,
            Optional.ofNullable(despite),
            false);
    List<TestRead> one = read(before);
    List<TestRead> other = read(after);
    return Optional.of(
        new Report.Compared(
            one,
            other,
            Comparison.of(
                one.stream().map(TestRead::curve).toList(),
                other.stream().map(TestRead::curve).toList(),
                question)));
  }

  private static List<TestRead> read(List<Path> folders) {
    return folders.stream().map(TestRead::open).toList();
  }
}
