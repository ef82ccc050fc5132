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
import meniscus.recorder.demo.DemoShop;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.outlet.Outlets;
import meniscus.recorder.page.PageServer;
import meniscus.recorder.report.ComparisonText;
import meniscus.recorder.report.HistoryText;
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
      "invented.",
      "With --shop it is a shop's job of three ports, three valve jobs and five changes, two of",
      "which were wrong: eight tests, then the head's sheet, a customer's sheet and the history."
    },
    footer = {
      "",
      "Examples:",
      "  meniscus demo --quick --out demo",
      "  meniscus demo --page",
      "  meniscus demo --quick --seed 7 --out demo-7",
      "  meniscus demo --quick --scenario choke --out demo-choke",
      "  meniscus demo --shop --out shop"
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

  @Option(
      names = "--shop",
      description = "a shop's job with a history; in simulated time, a minute or two")
  private boolean shop;

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
    if (shop) {
      return shop();
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
        page.start(console, out, out.resolve("bench.json"), Drivers.shipped(), Outlets.none());
    try {
      DemoJob job = new DemoJob(out, quick, seed, change, (step, said) -> told(said, shown));
      Comparison comparison =
          quick && shown.isEmpty()
              ? job.runBeside((test, session) -> show(test + ", kept", session))
              : job.run(
                  session -> {
                    shown.ifPresent(each -> each.follow(tests.next(), session, true));
                    show("kept", session);
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

  private int shop() {
    if (page.asked() || !scenario.equals("short-side")) {
      throw CommandFailed.usage("--shop is a job of its own: leave out --page and --scenario");
    }
    try {
      HistoryText.lines(new DemoShop(out, seed, (step, sentence) -> console.warn(sentence)).run())
          .forEach(console::say);
      console.say("");
      for (String name : List.of("head.html", "customer.html", "history.html", "truth.json")) {
        console.say(out.resolve(name).toString());
      }
      return ExitCode.DONE;
    } catch (FileNotAccepted | IOException e) {
      throw CommandFailed.data(e.getMessage());
    } catch (InterruptedException e) {
      return ExitCode.INTERRUPTED;
    }
  }

  private void told(String step, Optional<PageServer> shown) {
    console.warn(step);
    shown.ifPresent(page -> page.prepares("The demo: " + step));
  }

  private void show(String word, TestSession session) {
    session.listen(
        new SessionListener() {
          @Override
          public void kept(LiftPoint point) {
            console.warn(RecordListener.pointText(session.ladder().plan(), word, point));
          }
        });
  }
}
