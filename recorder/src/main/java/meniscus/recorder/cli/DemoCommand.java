package meniscus.recorder.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Iterator;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.compare.Comparison;
import meniscus.core.lift.LiftPoint;
import meniscus.drivers.simulated.DemoChange;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.PageOption;
import meniscus.recorder.demo.DemoJob;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.page.PageServer;
import meniscus.recorder.report.ComparisonText;
import meniscus.recorder.session.SessionListener;
import meniscus.recorder.session.TestSession;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code demo}: a whole job on the built-in simulated bench. */
@Command(
    name = "demo",
    mixinStandardHelpOptions = true,
    description = {
      "Runs a whole before/after job on the built-in simulated bench: zero, leakage, calibration on",
      "plates, repeatability, two lift tests, comparison, report. Head, bench and change are",
      "invented."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus demo --quick --out demo",
      "  meniscus demo --page",
      "  meniscus demo --quick --seed 7 --out demo-7",
      "  meniscus demo --quick --scenario choke --out demo-choke"
    })
final class DemoCommand implements Callable<Integer> {

  private final Console console;

  @Option(
      names = "--out",
      paramLabel = "DIR",
      defaultValue = "demo",
      description = "folder to write into (default ${DEFAULT-VALUE})")
  private Path out;

  @Option(
      names = "--quick",
      description = "in simulated time, some seconds; else at the speed of the clock on the wall")
  private boolean quick;

  @Option(
      names = "--seed",
      paramLabel = "N",
      defaultValue = "1",
      description = "seed of noise, weather and fitting (default ${DEFAULT-VALUE})")
  private long seed;

  @Option(
      names = "--scenario",
      paramLabel = "NAME",
      defaultValue = "short-side",
      description = {
        "what became of the head between the tests: short-side, choke, gradual-stall,",
        "fast-flutter, wet-seat, shifted-zero or grown-leak (default ${DEFAULT-VALUE})"
      })
  private String scenario;

  @Mixin private PageOption page;

  /** The demo's tests, in its order, as its folders are named. */
  private final Iterator<String> tests = List.of("before", "after").iterator();

  DemoCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    if (Files.exists(out.resolve("bench.json"))) {
      throw CommandFailed.data(
          out + " holds a demo already: choose another folder with --out, or remove it");
    }
    DemoChange change =
        DemoChange.named(scenario)
            .orElseThrow(
                () ->
                    CommandFailed.usage(
                        "--scenario: \""
                            + scenario
                            + "\" is none; there are "
                            + Stream.of(DemoChange.values())
                                .map(DemoChange::word)
                                .collect(Collectors.joining(", "))));
    Optional<PageServer> shown =
        page.start(console, out, out.resolve("bench.json"), Drivers.shipped());
    try {
      Comparison comparison =
          new DemoJob(out, quick, seed, change, step -> told(step, shown))
              .run(
                  session -> {
                    shown.ifPresent(each -> each.follow(tests.next(), session, true));
                    show(session);
                  });
      ComparisonText.lines(comparison).forEach(console::say);
      console.say("");
      console.say("Report: " + out.resolve("report.html"));
      return ExitCode.DONE;
    } catch (FileNotAccepted | IOException e) {
      throw CommandFailed.data(e.getMessage());
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    } finally {
      shown.ifPresent(PageServer::close);
    }
  }

  private void told(String step, Optional<PageServer> shown) {
    console.warn(step);
    shown.ifPresent(page -> page.prepares("The demo: " + step));
  }

  private void show(TestSession session) {
    session.listen(
        new SessionListener() {
          @Override
          public void kept(LiftPoint point) {
            console.warn(RecordListener.pointText(session.ladder().plan(), "kept", point));
          }
        });
  }
}
