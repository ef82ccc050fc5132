package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import meniscus.core.compare.BenchRound;
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
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.folder.TypedFolder;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.report.BenchRoundChart;
import meniscus.recorder.report.BenchRoundJson;
import meniscus.recorder.report.BenchRoundRead;
import meniscus.recorder.report.BenchRoundText;
import meniscus.recorder.report.ComparisonJson;
import meniscus.recorder.report.ComparisonText;
import meniscus.recorder.report.ExternalCurveText;
import meniscus.recorder.report.PortsJson;
import meniscus.recorder.report.PortsText;
import meniscus.recorder.report.SummaryJson;
import meniscus.recorder.report.TestRead;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code meniscus compare}: before against after. */
@Command(
    name = "compare",
    mixinStandardHelpOptions = true,
    description = {
      "Compares tests before a change with tests after it: whole curve first, then lift by lift.",
      "Several folders on a side are repeats, each with the head taken off and put back.",
      "With --ports: the ports of a head beside each other, or each from its own earlier tests.",
      "With --benches: one head on several benches, and which bench stands out."
    },
    footer = {
      "",
      "Outcomes: gain, loss, no real change, cannot tell yet. One false gain or loss or more in a",
      "comparison comes with a chance of 5 %%.",
      "",
      "  meniscus compare before --after after",
      "  meniscus compare before-1 before-2 --after after-1 after-2 --margin 1%% --json",
      "  meniscus compare north south east north-again --benches --plot benches.svg"
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
      names = "--benches",
      description = {
        "The tests are of one head on several benches, or readings of one plate: how far each bench",
        "is from all together. Test it on the first bench again at the end, and a change of the thing",
        "itself is taken out."
      })
  private boolean benches;

  @Option(
      names = "--plot",
      paramLabel = "FILE",
      description = "With --benches: also draw each bench with its interval, as SVG.")
  private Optional<Path> plot = Optional.empty();

  @Option(
      names = "--resolution",
      converter = QuantityOption.Ratio.class,
      paramLabel = "PERCENT",
      description = "Difference that the repeats needed are counted for: 1%%.")
  private Value resolution;

  @Option(names = "--interpolate", description = "Interpolate lifts that one side lacks.")
  private boolean interpolate;

  @Option(names = "--json", description = "One JSON object.")
  private boolean json;

  @Mixin private ComparingOption comparing;

  CompareCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() {
    if (plot.isPresent() && !benches) {
      throw CommandFailed.usage("--plot goes with --benches; report --charts draws comparisons");
    }
    if (benches) {
      return benches();
    }
    if (after.isEmpty() && !ports && !comparing.besideTypedCurve()) {
      throw CommandFailed.usage(
          "compare with what? Give --after, --ports, --benches or --elsewhere");
    }
    if (comparing.besideTypedCurve() && (ports || !after.isEmpty())) {
      throw CommandFailed.usage("--elsewhere goes with tests alone, not with --after or --ports");
    }
    if (!otherDirection.isEmpty() && (ports || after.isEmpty())) {
      throw CommandFailed.usage("--other-direction is a control for BEFORE and --after");
    }
    Question question = question();
    try {
      Optional<ExternalCurve> typed = typedSide().or(comparing::typedCurve);
      if (typed.isPresent()) {
        beside(typed.get());
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

  /**
   * The curve from elsewhere, where one side is one: the tests of the other side are then {@link
   * #before}.
   */
  private Optional<ExternalCurve> typedSide() {
    List<Path> typed =
        Stream.concat(before.stream(), after.stream()).filter(TypedFolder::is).toList();
    if (typed.isEmpty()) {
      return Optional.empty();
    }
    boolean alone = before.equals(typed) || after.equals(typed);
    if (typed.size() > 1 || !alone || ports || comparing.besideTypedCurve()) {
      throw CommandFailed.usage(
          typed.get(0)
              + " was typed from elsewhere and is no test: compare it alone, with the tests on the"
              + " other side");
    }
    if (before.equals(typed)) {
      before = after;
    }
    return Optional.of(TypedFolder.curve(typed.get(0)));
  }

  private int benches() {
    if (!after.isEmpty() || ports || comparing.besideTypedCurve() || !otherDirection.isEmpty()) {
      throw CommandFailed.usage("--benches goes with tests alone");
    }
    try {
      BenchRound round = BenchRoundRead.of(before, question());
      if (plot.isPresent()) {
        WholeFile.write(plot.get(), BenchRoundChart.svg(round));
      }
      if (json) {
        console.as("compare-benches").json(BenchRoundJson.of(round));
      } else {
        BenchRoundText.lines(round).forEach(console::say);
      }
    } catch (Refusal | FileNotAccepted e) {
      throw CommandFailed.data(e.getMessage());
    } catch (IOException e) {
      throw CommandFailed.data(plot.orElseThrow() + " cannot be written: " + e.getMessage());
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
      Optional<CamFlow.Cam> through = comparing.cam();
      ObjectNode summary = tree.putObject("summary");
      JsonOut.array(
          summary, "before", earlier.stream().map(test -> SummaryJson.of(test, through)).toList());
      JsonOut.array(
          summary, "after", later.stream().map(test -> SummaryJson.of(test, through)).toList());
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
      return comparing.question(
          resolution == null ? Question.USUAL_RESOLUTION : resolution.si(), interpolate);
    } catch (Refusal e) {
      throw CommandFailed.usage(e.getMessage());
    }
  }
}
