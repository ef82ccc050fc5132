package meniscus.recorder.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Question;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Value;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.report.ComparisonJson;
import meniscus.recorder.report.ComparisonText;
import meniscus.recorder.report.TestRead;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code meniscus compare}: before against after. */
@Command(
    name = "compare",
    mixinStandardHelpOptions = true,
    description = {
      "Compare tests before a change with tests after it: whole curve first, then lift by lift.",
      "Several folders on a side are repeats, each with the head taken off and put back."
    },
    footer = {
      "",
      "Outcomes: gain, loss, no real change, cannot tell yet. One false gain or loss or more in a",
      "comparison comes with a chance of 5 %%.",
      "",
      "  meniscus compare before --after after",
      "  meniscus compare before-1 before-2 --after after-1 after-2 --margin 1%% --json"
    })
final class CompareCommand implements Callable<Integer> {

  private final Console console;

  @Parameters(
      arity = "1..*",
      paramLabel = "BEFORE",
      description = "Test folders before the change.")
  private List<Path> before;

  @Option(
      names = "--after",
      required = true,
      arity = "1..*",
      paramLabel = "AFTER",
      description = "Test folders after the change.")
  private List<Path> after;

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
      names = "--resolution",
      converter = QuantityOption.Ratio.class,
      paramLabel = "PERCENT",
      description = "Difference that the repeats needed are counted for: 1%%.")
  private Value resolution;

  @Option(
      names = "--despite",
      paramLabel = "REASON",
      description = "Compare although the set-ups differ, and why that is right.")
  private String despite;

  @Option(names = "--interpolate", description = "Interpolate lifts that one side lacks.")
  private boolean interpolate;

  @Option(names = "--json", description = "One JSON object.")
  private boolean json;

  CompareCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    Comparison comparison = compared(before, after, question());
    if (json) {
      console.json(ComparisonJson.of(comparison));
    } else {
      ComparisonText.lines(comparison).forEach(console::say);
    }
    return ExitCode.DONE;
  }

  private static Comparison compared(List<Path> before, List<Path> after, Question question) {
    try {
      return Comparison.of(curves(before), curves(after), question);
    } catch (IllegalArgumentException | FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    }
  }

  private static List<TestCurve> curves(List<Path> folders) {
    return folders.stream().map(TestRead::open).map(TestRead::curve).toList();
  }

  private Question question() {
    try {
      return new Question(
          margin == null ? OptionalDouble.empty() : OptionalDouble.of(margin.si()),
          resolution == null ? Question.USUAL_RESOLUTION : resolution.si(),
          Optional.ofNullable(despite),
          interpolate);
    } catch (IllegalArgumentException e) {
      throw CommandFailed.usage(e.getMessage());
    }
  }
}
