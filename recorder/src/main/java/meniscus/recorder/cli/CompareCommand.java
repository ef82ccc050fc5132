package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import meniscus.core.compare.CamFlow;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.compare.PortsBeside;
import meniscus.core.compare.Question;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.QuantityOption;
import meniscus.recorder.file.CamFile;
import meniscus.recorder.file.CurveFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.report.ComparisonJson;
import meniscus.recorder.report.ComparisonText;
import meniscus.recorder.report.ExternalCurveText;
import meniscus.recorder.report.PortsJson;
import meniscus.recorder.report.PortsText;
import meniscus.recorder.report.SummaryJson;
import meniscus.recorder.report.TestRead;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code meniscus compare}: before against after. */
@Command(
    name = "compare",
    mixinStandardHelpOptions = true,
    description = {
      "Compares tests before a change with tests after it: whole curve first, then lift by lift.",
      "Several folders on a side are repeats, each with the head taken off and put back.",
      "With --ports: the ports of a head beside each other, or each from its own earlier tests."
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
      arity = "1..*",
      paramLabel = "AFTER",
      description = "Test folders after the change.")
  private List<Path> after = List.of();

  @Option(
      names = "--other-direction",
      arity = "2",
      paramLabel = "TEST",
      description = {
        "As a control: the same port before and after, with the air going the other way.",
        "A loss that is not there tells for the short side, one that is there against it."
      })
  private List<Path> otherDirection = List.of();

  @Option(
      names = "--ports",
      description = {
        "Compare port with port; with --after each port's change from its own BEFORE.",
        "The chance of 5 %% for a false claim is that of the whole head."
      })
  private boolean ports;

  @Option(
      names = {"--typed-curve", "--elsewhere"},
      paramLabel = "FILE",
      description = "Set a curve that was typed in beside the tests; it gets no outcome.")
  private Optional<Path> elsewhere = Optional.empty();

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
      names = {"--although", "--despite"},
      paramLabel = "REASON",
      description = "Compare although the set-ups differ, and why that is right.")
  private String despite;

  @Option(names = "--interpolate", description = "Interpolate lifts that one side lacks.")
  private boolean interpolate;

  @Option(
      names = "--cam",
      paramLabel = "FILE",
      description = "With --json: also the mean flow through this cam.")
  private Optional<Path> cam = Optional.empty();

  @Option(names = "--json", description = "One JSON object.")
  private boolean json;

  CompareCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    if (after.isEmpty() && !ports && elsewhere.isEmpty()) {
      throw CommandFailed.usage("compare with what? Give --after, --ports or --elsewhere");
    }
    if (elsewhere.isPresent() && (ports || !after.isEmpty())) {
      throw CommandFailed.usage("--elsewhere goes with tests alone, not with --after or --ports");
    }
    if (!otherDirection.isEmpty() && (ports || after.isEmpty())) {
      throw CommandFailed.usage("--other-direction is a control for BEFORE and --after");
    }
    Question question = question();
    try {
      if (elsewhere.isPresent()) {
        beside(CurveFile.read(elsewhere.get()));
      } else if (ports) {
        ports(question);
      } else {
        compare(question);
      }
    } catch (Refusal | FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    }
    return ExitCode.DONE;
  }

  private void compare(Question question) {
    List<TestCurve> earlier = curves(before);
    List<TestCurve> later = curves(after);
    Comparison comparison =
        otherDirection.isEmpty()
            ? Comparison.of(earlier, later, question)
            : controlled(earlier, later, question);
    if (json) {
      ObjectNode tree = ComparisonJson.of(comparison);
      Optional<CamFlow.Cam> through = cam.map(CamFile::read);
      ObjectNode summary = tree.putObject("summary");
      ArrayNode list = summary.putArray("before");
      earlier.forEach(test -> list.add(SummaryJson.of(test, through)));
      ArrayNode others = summary.putArray("after");
      later.forEach(test -> others.add(SummaryJson.of(test, through)));
      console.json(tree);
    } else {
      ComparisonText.lines(comparison).forEach(console::say);
    }
  }

  private Comparison controlled(List<TestCurve> earlier, List<TestCurve> later, Question question) {
    if (otherDirection.size() != 2) {
      throw CommandFailed.usage("--other-direction takes two tests: before and after the change");
    }
    List<TestCurve> other = curves(otherDirection);
    return Comparison.of(earlier, later, question, other.get(0), other.get(1));
  }

  private void ports(Question question) {
    PortsBeside beside =
        after.isEmpty()
            ? PortsBeside.of(curves(before), question)
            : PortsBeside.changes(curves(before), curves(after), question);
    if (json) {
      console.as("compare-ports").json(PortsJson.of(beside));
    } else {
      (after.isEmpty() ? PortsText.beside(beside) : PortsText.changes(beside))
          .forEach(console::say);
    }
  }

  private void beside(ExternalCurve curve) {
    for (TestCurve test : curves(before)) {
      if (json) {
        console.as("compare-external").json(ExternalCurveText.json(test, curve));
      } else {
        ExternalCurveText.lines(test, curve).forEach(console::say);
      }
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
    } catch (Refusal e) {
      throw CommandFailed.usage(e.getMessage());
    }
  }
}
