package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.Scanner;
import java.util.Set;
import java.util.function.UnaryOperator;
import meniscus.core.bench.Use;
import meniscus.core.quantity.Text;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.look.Check;
import meniscus.recorder.look.DryRun;
import meniscus.recorder.look.StartingBench;
import meniscus.recorder.look.WiringCheck;
import picocli.CommandLine.Option;

/** The part of {@code look} that checks a bench against a plan before any air moves. */
final class DryRunOption {

  @Option(
      names = "--bench",
      paramLabel = "FILE",
      description = "with --plan: check everything that can be checked before the blower starts")
  private Optional<Path> bench = Optional.empty();

  @Option(
      names = "--plan",
      paramLabel = "FILE",
      description = "the plan to check the bench against")
  private Optional<Path> plan = Optional.empty();

  @Option(
      names = "--wiring",
      description = {
        "with --bench, or with --guess --write, which then puts the signs right: leads through",
        "hoses, signs and units of a new bench, blower off: suck at",
        "each hose, lift the dial by something known; names swapped hoses, a wrong sign, a 3.3 V",
        "reference, mm for in"
      })
  private boolean wiring;

  /**
   * @param writing whether a bench file is written, whose wiring can be looked at then
   */
  boolean wanted(boolean writing) {
    if (wiring && writing && bench.isEmpty()) {
      return false;
    }
    if (bench.isPresent() != (plan.isPresent() || wiring)) {
      throw CommandFailed.usage(
          "--bench goes with --plan FILE (a dry run) or with --wiring: look --bench FILE --plan FILE");
    }
    return bench.isPresent();
  }

  private int wiring(Console console, Drivers drivers) throws InterruptedException {
    Scanner answers = new Scanner(console.in(), StandardCharsets.UTF_8);
    WiringCheck check = new WiringCheck(asking(console, answers), console::say);
    int faults = check.of(bench.orElseThrow(), drivers);
    String good =
        check.whole()
            ? "No fault was found."
            : "No fault was found in what could be looked at; not all could.";
    console.say(faults == 0 ? good : "Put these right, then look once more.");
    return faults == 0 ? ExitCode.DONE : ExitCode.BENCH_FAULT;
  }

  /**
   * Asks a person to suck at the hoses of a bench whose file was just written, and writes down
   * which gauges show the other sign. With {@code --wiring}, or where a person says yes.
   */
  int newBench(Console console, Drivers drivers, Path written) throws InterruptedException {
    Scanner answers = new Scanner(console.in(), StandardCharsets.UTF_8);
    UnaryOperator<String> asks = asking(console, answers);
    if (!wiring
        && (Console.terminal().isEmpty()
            || asks.apply("Look at hoses and signs now? Enter for yes, n for later: ")
                .startsWith("n"))) {
      return ExitCode.DONE;
    }
    WiringCheck check = new WiringCheck(asks, console::say);
    check.of(written, drivers);
    Set<Use> turned = check.inverted();
    if (!turned.isEmpty()) {
      try {
        BenchFile.write(written, StartingBench.turned(BenchFile.read(written), turned));
      } catch (IOException e) {
        throw CommandFailed.data(written + " cannot be written: " + e.getMessage());
      }
      turned.forEach(use -> console.say(use.word() + ": \"inverted\" is put right in " + written));
    }
    return check.onlySigns() ? ExitCode.DONE : ExitCode.BENCH_FAULT;
  }

  private static UnaryOperator<String> asking(Console console, Scanner answers) {
    return question -> {
      console.say(question);
      return answers.hasNextLine() ? answers.nextLine().strip() : "";
    };
  }

  int run(Console console, Drivers drivers, double seconds, boolean json)
      throws InterruptedException {
    if (wiring) {
      return wiring(console, drivers);
    }
    List<Check> checks = DryRun.of(bench.orElseThrow(), plan.orElseThrow(), drivers, seconds);
    if (json) {
      ObjectNode object = JsonOut.object();
      object.put("ready", checks.stream().noneMatch(DryRunOption::isFault));
      JsonOut.list(
          object,
          "checks",
          checks,
          (node, check) ->
              node.put("area", check.area().word())
                  .put("state", check.state().word())
                  .put("text", check.text()));
      console.as("look-plan").json(object);
    } else {
      for (Check check : checks) {
        console.say(
            Text.of(
                "%-6s %-12s %s",
                check.state() == Check.State.GOOD ? "" : check.state().word(),
                check.area().word(),
                check.text()));
      }
      console.say("");
      console.say(summary(checks));
    }
    return exitCode(checks);
  }

  private static String summary(List<Check> checks) {
    long faults = checks.stream().filter(DryRunOption::isFault).count();
    long doubts = checks.stream().filter(each -> each.state() == Check.State.DOUBT).count();
    if (faults > 0) {
      return "The test would fail: put the faults right first.";
    }
    return doubts > 0
        ? "The test can be taken; look at the doubts first."
        : "All is ready for the test.";
  }

  private static int exitCode(List<Check> checks) {
    boolean files =
        checks.stream().anyMatch(each -> isFault(each) && each.area() == Check.Area.FILES);
    return files
        ? ExitCode.BAD_DATA
        : checks.stream().anyMatch(DryRunOption::isFault) ? ExitCode.BENCH_FAULT : ExitCode.DONE;
  }

  private static boolean isFault(Check check) {
    return check.state() == Check.State.FAULT;
  }
}
