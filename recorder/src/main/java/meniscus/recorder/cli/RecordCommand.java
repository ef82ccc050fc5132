package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.drivers.simulated.DemoChange;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.cli.terminal.CommandFailed;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.ExitCode;
import meniscus.recorder.cli.terminal.OperatorInput;
import meniscus.recorder.cli.terminal.PageOption;
import meniscus.recorder.cli.terminal.PluginsOption;
import meniscus.recorder.feed.BenchFault;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.outlet.OutletState;
import meniscus.recorder.outlet.Outlets;
import meniscus.recorder.page.PageServer;
import meniscus.recorder.plugin.PluginFolder;
import meniscus.recorder.session.TestRecorder;
import meniscus.recorder.session.TestSession;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code record}: takes a lift test. */
@picocli.CommandLine.Command(
    name = "record",
    mixinStandardHelpOptions = true,
    description = {
      "Takes a lift test: asks for one lift after the other, averages each, keeps it, and writes a",
      "test folder. Every kept point is on the disk before it is told.",
      "",
      "While it runs it takes, from the terminal or from standard input, one a line:",
      "  " + OperatorInput.WORDS,
      "Lines that come together are done one after the other, each when the keep before it is done.",
      "READINGS are of instruments read by eye: 28.1, or low and high of a swinging column, with the",
      "channel before it where there are several: test_pressure 27.5..28.7; element_drop 5.2",
      ""
    },
    footer = {
      "",
      "Examples:",
      "  meniscus record --bench bench.json --plan intake.json --out tests/intake-1 --hands-free",
      "  meniscus record --bench bench.json --plan intake.json --out tests/intake-1 --resume",
      "  meniscus record --bench bench.json --plan intake.json --out tests/intake-2 --page",
      "  printf 'keep\\nkeep\\nstop\\n' | meniscus record --bench b.json --plan p.json --out t --json"
    })
final class RecordCommand implements Callable<Integer> {

  private final Console console;

  @Option(
      names = "--bench",
      paramLabel = "FILE",
      description = "the bench file; with --resume the test has its own copy")
  private Path bench;

  @Option(
      names = "--plan",
      paramLabel = "FILE",
      description = "the plan file; with --resume the test has its own copy")
  private Path plan;

  @Option(names = "--out", required = true, paramLabel = "DIR", description = "the test folder")
  private Path out;

  @Option(names = "--mirror", paramLabel = "DIR", description = "write the journal here as well")
  private Optional<Path> mirror = Optional.empty();

  @Option(names = "--hands-free", description = "keep each lift by itself once it is settled")
  private boolean handsFree;

  @Option(names = "--resume", description = "go on with the unfinished test in the folder")
  private boolean resume;

  @Option(
      names = "--replace",
      description = "put an earlier test in the folder aside (it is renamed, not deleted)")
  private boolean replace;

  @Option(names = "--quick", description = "simulated bench: in simulated time")
  private boolean quick;

  @Option(
      names = "--seed",
      paramLabel = "N",
      defaultValue = "1",
      description =
          "simulated bench: seed of noise, weather and fitting (default ${DEFAULT-VALUE})")
  private long seed;

  @Option(
      names = "--head",
      paramLabel = "received|changed|SCENARIO",
      defaultValue = "received",
      description =
          "simulated bench: which state of the head stands on it; SCENARIO as in demo --scenario")
  private String head;

  @Mixin private PageOption page;

  @Option(names = "--json", description = "one JSON object an event, one a line")
  private boolean json;

  @Mixin private PluginsOption plugins;

  private Map<Integer, LiftPoint> told = Map.of();
  private Optional<Plan.Units> units = Optional.empty();

  RecordCommand(Console console) {
    this.console = console;
  }

  @Override
  public Integer call() throws IOException {
    checkUsage();
    Thread owner = Thread.currentThread();
    CountDownLatch done = new CountDownLatch(1);
    Thread onInterrupt = new Thread(() -> interrupt(owner, done), "interrupt");
    Runtime.getRuntime().addShutdownHook(onInterrupt);
    try {
      PluginFolder at = plugins.ready(console);
      Drivers drivers = at.drivers();
      TestRecorder recorder =
          new TestRecorder(
              new TestRecorder.Request(
                  benchFile(),
                  plan == null ? out.resolve("plan.json") : plan,
                  out,
                  mirror,
                  handsFree,
                  resume,
                  simulation()),
              drivers);
      if (replace) {
        recorder.replacing(aside -> console.warn("what was in the way is now " + aside));
      }
      Path folder = out.toAbsolutePath().normalize();
      Outlets outlets = bench == null ? Outlets.none() : Outlets.start(bench, at.outlets());
      Optional<PageServer> shown = Optional.empty();
      try {
        shown = page.start(console, folder.getParent(), benchFile(), drivers, outlets);
        Optional<PageServer> watched = shown;
        TestRecorder.Outcome outcome =
            recorder.record(
                session -> {
                  outlets.begins(folder, session);
                  watched.ifPresent(
                      each -> each.follow(folder.getFileName().toString(), session, handsFree));
                  started(session);
                });
        shown.ifPresent(each -> each.ended(outcome));
        return told(outcome);
      } finally {
        shown.ifPresent(PageServer::close);
        outlets.close();
        tellWaiting(outlets);
      }
    } catch (IOException e) {
      throw CommandFailed.data(e.getMessage());
    } catch (BenchFault e) {
      throw CommandFailed.bench(e.getMessage());
    } catch (InterruptedException e) {
      console.warn("interrupted; all that was kept is safe, --resume goes on");
      return ExitCode.INTERRUPTED;
    } finally {
      done.countDown();
      unhook(onInterrupt);
    }
  }

  private void tellWaiting(Outlets outlets) {
    OutletState.waiting(outlets.states()).forEach(console::warn);
  }

  private Path benchFile() {
    return bench == null ? out.resolve("bench.json") : bench;
  }

  private void checkUsage() {
    if (!resume && (bench == null || plan == null)) {
      throw CommandFailed.usage("a new test needs --bench and --plan");
    }
    if (resume && replace) {
      throw CommandFailed.usage(
          "--resume goes on with the test in the folder, --replace puts it aside: choose one");
    }
  }

  private Feeds.Simulation simulation() {
    Scenario scenario = Scenario.demo();
    Mounted mounted =
        switch (head) {
          case "received" -> new Mounted.Head(scenario.before());
          case "changed" -> new Mounted.Head(scenario.after());
          default ->
              DemoChange.named(head)
                  .map(DemoChange::mounted)
                  .orElseThrow(
                      () ->
                          CommandFailed.usage(
                              "--head is \"received\" or \"changed\", or a scenario of demo such as"
                                  + " \"choke\", not \""
                                  + head
                                  + "\""));
        };
    return new Feeds.Simulation(quick, seed, mounted);
  }

  private void started(TestSession session) {
    units = Optional.of(session.ladder().plan().units());
    RecordListener listener =
        new RecordListener(
            console, session.ladder().plan(), json, !json && System.console() != null);
    told = listener.told();
    session.listen(listener);
    Thread input =
        new Thread(
            new OperatorInput(
                console.in(),
                new OperatorInput.Takes() {
                  @Override
                  public void submit(meniscus.core.pipeline.Command command) {
                    session.submit(command);
                  }

                  @Override
                  public void submitInOrder(meniscus.core.pipeline.Command command) {
                    session.submitInOrder(command);
                  }

                  @Override
                  public Optional<String> read(String readings, boolean inOrder) {
                    return session.type(readings, inOrder);
                  }
                },
                console::warn,
                () -> inputEnded(session),
                System::nanoTime),
            "operator input");
    input.setDaemon(true);
    input.start();
  }

  /** Nobody can say keep any more: the test ends with what is kept. */
  private void inputEnded(TestSession session) {
    if (!handsFree && !page.asked()) {
      session.inputEnded();
    }
  }

  private int told(TestRecorder.Outcome outcome) {
    if (outcome.before()) {
      console.warn(
          out
              + " was finished already, and the program stopped before it could clear its journal"
              + " away; that is done now, and nothing is taken once more");
    }
    List<IntervalChange> changed =
        units.map(in -> IntervalChange.of(told, outcome.points(), in)).orElse(List.of());
    if (json) {
      ObjectNode object = JsonOut.object().put("event", "finished");
      object.put("folder", outcome.folder().map(Path::toString).orElse(null));
      object.put("points", outcome.points().size());
      object.put("open_rungs", outcome.openRungs());
      ArrayNode intervals = object.putArray("intervals_changed");
      changed.forEach(each -> each.addTo(intervals.addObject()));
      console.json(object);
    } else if (outcome.folder().isPresent()) {
      console.say(outcome.points().size() + " points in " + outcome.folder().get() + rest(outcome));
      IntervalChange.sentence(changed).ifPresent(console::say);
    } else {
      console.say("nothing was kept: no test folder is written; --resume goes on");
    }
    return outcome.doubtful() ? ExitCode.DONE_WITH_DOUBT : ExitCode.DONE;
  }

  private static String rest(TestRecorder.Outcome outcome) {
    return outcome.openRungs() == 0
        ? ""
        : "; " + outcome.openRungs() + " of the lifts are not taken";
  }

  /**
   * Ctrl-C: the session's thread stops at once; the journal has all that was kept. The process ends
   * when this returns, so it waits for the thread to have said so.
   */
  private static void interrupt(Thread owner, CountDownLatch done) {
    owner.interrupt();
    try {
      if (!done.await(5, TimeUnit.SECONDS)) {
        owner.interrupt();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private static void unhook(Thread hook) {
    try {
      Runtime.getRuntime().removeShutdownHook(hook);
    } catch (IllegalStateException alreadyEnding) {
      // Then the hook is what brought us here.
    }
  }
}
