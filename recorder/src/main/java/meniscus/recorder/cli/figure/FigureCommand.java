package meniscus.recorder.cli.figure;

import java.util.List;
import java.util.concurrent.Callable;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParentCommand;
import picocli.CommandLine.Spec;

/** {@code figure}: the shop calculator; each question is a sub-command. */
@Command(
    name = "figure",
    description =
        "The shop calculator: air, plates, nozzles, valve areas, speeds, test pressures, forces.",
    synopsisSubcommandLabel = "QUESTION",
    footer = {
      "",
      "  meniscus figure force --head \"44 mm\" --pressure \"28 inH2O\"",
      "  meniscus figure plate --help",
      "",
      "Every quantity is a number with its unit, in quotes: \"28 inH2O\", \"0.500 in\", \"23 degC\".",
      "Equations, sources and ranges: docs/physics.md"
    })
public final class FigureCommand implements Callable<Integer> {

  /** All questions, in the order in which the help lists them. */
  private static final List<String> QUESTIONS =
      List.of(
          "air",
          "plate",
          "nozzle",
          "venturi",
          "speed",
          "mach-index",
          "gauges",
          "valve",
          "rescale",
          "force");

  private final Console console;

  @Spec private CommandSpec spec;

  @Option(
      names = {"-h", "--help"},
      usageHelp = true,
      description = "Show this help.")
  private boolean help;

  private FigureCommand(Console console) {
    this.console = console;
  }

  /**
   * The command with the question that is asked, or with all where none of them is: to build those
   * that nobody asked takes a good part of the start.
   *
   * @param asked the word behind {@code figure}; empty where there is none
   */
  public static CommandLine with(String asked, Console console) {
    CommandLine line = new CommandLine(new FigureCommand(console));
    List<String> needed = QUESTIONS.contains(asked) ? List.of(asked) : QUESTIONS;
    needed.forEach(name -> line.addSubcommand(question(name)));
    return line;
  }

  private static Question question(String name) {
    return switch (name) {
      case "air" -> new FigureAir();
      case "plate" -> new FigurePlate();
      case "nozzle" -> new FigureNozzle();
      case "venturi" -> new FigureVenturi();
      case "speed" -> new FigureSpeed();
      case "mach-index" -> new FigureMachIndex();
      case "gauges" -> new FigureGauges();
      case "valve" -> new FigureValve();
      case "rescale" -> new FigureRescale();
      case "force" -> new FigureForce();
      default -> throw new IllegalArgumentException(name);
    };
  }

  @Override
  public Integer call() {
    spec.commandLine().usage(console.err());
    return ExitCode.WRONG_USAGE;
  }

  /** One question: works out an answer and prints it. */
  abstract static class Question implements Callable<Integer> {

    @ParentCommand private FigureCommand figure;

    @Option(names = "--json", description = "Print one JSON object.")
    private boolean json;

    @Option(
        names = {"-h", "--help"},
        usageHelp = true,
        description = "Show this help.")
    private boolean help;

    /**
     * @throws Refusal saying which number cannot be
     */
    abstract FigureAnswer answer();

    @Override
    public final Integer call() {
      FigureAnswer answer;
      try {
        answer = answer();
      } catch (Refusal e) {
        throw CommandFailed.usage(e.getMessage());
      }
      if (json) {
        figure.console.json(answer.json());
      } else {
        answer.print(figure.console);
      }
      return ExitCode.DONE;
    }
  }
}
