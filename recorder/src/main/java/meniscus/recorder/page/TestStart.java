package meniscus.recorder.page;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.outlet.Outlets;
import meniscus.recorder.page.bench.BenchOfPage;
import meniscus.recorder.page.bench.Failure;
import meniscus.recorder.page.bench.InUse;
import meniscus.recorder.page.bench.Listening;
import meniscus.recorder.page.bench.OwnThread;
import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.page.http.Response;
import meniscus.recorder.session.TestRecorder;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/** Starts a test from the page, on a thread of its own. */
final class TestStart implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(TestStart.class);

  private static final Set<String> MEMBERS =
      Set.of("client", "plan", "out", "hands_free", "resume", "head", "quick", "seed");

  /** Lines may take a while to open; after this the page is told that the test is on its way. */
  private static final long READY_SECONDS = 20;

  private final BenchOfPage bench;
  private final Archive archive;
  private final Capture capture;
  private final ControlLease charge;
  private final Drivers drivers;
  private final Listening listening;
  private final InUse lines;
  private final Outlets outlets;
  private final OwnThread thread = new OwnThread("test", false);

  TestStart(
      BenchOfPage bench,
      Archive archive,
      Capture capture,
      ControlLease charge,
      Drivers drivers,
      Listening listening,
      InUse lines,
      Outlets outlets) {
    this.bench = bench;
    this.archive = archive;
    this.capture = capture;
    this.charge = charge;
    this.drivers = drivers;
    this.listening = listening;
    this.lines = lines;
    this.outlets = outlets;
  }

  Response take(byte[] body) throws HttpError {
    JsonIn in = JsonIn.read(body, MEMBERS);
    charge.allowOrRefuse(in);
    boolean resume = in.flag("resume");
    String out = in.text("out");
    Path folder = resume ? archive.existing(out) : archive.inside(out);
    Path benchFile = bench.file();
    TestRecorder.Request request =
        new TestRecorder.Request(
            benchFile,
            resume ? folder.resolve("plan.json") : archive.planFile(in.text("plan")),
            folder,
            Optional.empty(),
            in.flag("hands_free"),
            resume,
            new Feeds.Simulation(
                in.flag("quick"),
                in.optionalWhole("seed").orElse(1),
                head(in.optionalText("head").orElse("received"))));
    start(out, request, bench.simulated());
    return Response.json(JsonOut.object().put("started", out));
  }

  private static Mounted head(String word) throws HttpError {
    return switch (word) {
      case "received" -> new Mounted.Head(Scenario.demo().before());
      case "changed" -> new Mounted.Head(Scenario.demo().after());
      default -> throw HttpError.wrong("\"head\" is received or changed");
    };
  }

  private synchronized void start(String name, TestRecorder.Request request, boolean simulated)
      throws HttpError {
    if (capture.running().isPresent()) {
      throw HttpError.notNow("a test is running already: stop it first");
    }
    lines.take("a lift test");
    listening.close();
    CompletableFuture<Void> ready = new CompletableFuture<>();
    boolean clockStops = simulated && request.simulation().quick() && !request.handsFree();
    LiveTest.Settings settings = new LiveTest.Settings(request.handsFree(), clockStops);
    thread.begin(() -> run(name, request, settings, ready));
    await(ready);
  }

  private void run(
      String name,
      TestRecorder.Request request,
      LiveTest.Settings settings,
      CompletableFuture<Void> ready) {
    try {
      TestRecorder.Outcome outcome =
          new TestRecorder(request, drivers)
              .record(
                  session -> {
                    outlets.begins(request.out(), session);
                    capture.follow(name, session, settings);
                    ready.complete(null);
                  });
      ready.complete(null); // where it was finished before, no session began
      outlets.poke();
      lines.free();
      capture.ended(outcome);
    } catch (InterruptedException e) {
      lines.free();
      capture.failed("interrupted; all that was kept is safe, and the test can be taken up again");
      ready.completeExceptionally(e);
    } catch (IOException | RuntimeException e) {
      lines.free();
      LOG.debug("test broke off", e);
      capture.failed(Failure.words(e));
      ready.completeExceptionally(e);
    }
  }

  private static void await(CompletableFuture<Void> ready) throws HttpError {
    try {
      ready.get(READY_SECONDS, TimeUnit.SECONDS);
    } catch (ExecutionException e) {
      throw HttpError.wrong(Failure.words(e.getCause()));
    } catch (TimeoutException e) {
      // The instruments are slow to open; the page hears when they are there.
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** Ends a running test at once; the journal has all that was kept. */
  @Override
  public synchronized void close() {
    thread.end();
  }
}
