package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import meniscus.core.pipeline.RunState;
import meniscus.drivers.simulated.DemoChange;
import meniscus.recorder.demo.DemoJob;
import meniscus.recorder.demo.DemoStep;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.bench.Failure;
import meniscus.recorder.page.bench.InUse;
import meniscus.recorder.page.bench.Listening;
import meniscus.recorder.page.bench.OwnThread;
import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.page.http.Response;
import meniscus.recorder.session.SessionListener;
import meniscus.recorder.session.TestSession;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A whole job on the simulated bench for somebody who sees the page for the first time: in a folder
 * of its own, so that the shop's bench and plans stay as they are, and slowly enough to be watched.
 */
final class TryOut implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(TryOut.class);

  private static final String FOLDER = "try-out";

  /**
   * Simulated seconds a second while a test is watched. Our own choice: a test of the demo's twelve
   * lifts takes some 300 s of simulated time and is to be seen in one minute.
   */
  private static final double SPEED = 5;

  /**
   * A step of the upkeep is shown this long at least, to be read. Our own choice: two sentences.
   */
  private static final long SHOWN_NANOS = TimeUnit.SECONDS.toNanos(7);

  private final Path data;
  private final Capture capture;
  private final ControlLease charge;
  private final Listening listening;
  private final InUse lines;
  private final OwnThread thread = new OwnThread("try-out", true);
  private Optional<ObjectNode> stands = Optional.empty();

  TryOut(Path data, Capture capture, ControlLease charge, Listening listening, InUse lines) {
    this.data = data;
    this.capture = capture;
    this.charge = charge;
    this.listening = listening;
    this.lines = lines;
  }

  Response take(byte[] body) throws HttpError {
    JsonIn in = JsonIn.read(body, Set.of("client", "do", "quick"));
    charge.allowOrRefuse(in);
    switch (in.text("do")) {
      case "start" -> start(in.flag("quick"));
      case "stop" -> close();
      default -> throw HttpError.wrong("\"do\" is start or stop");
    }
    return Response.json(JsonOut.object().put("folder", FOLDER));
  }

  /** How it goes, or how it went; nothing when it was never begun. */
  synchronized void addTo(ObjectNode state) {
    stands.ifPresent(json -> state.set("try_out", json));
  }

  private synchronized void start(boolean quick) throws HttpError {
    lines.take("the try-out");
    listening.close();
    String name = free();
    tell(name, JsonOut.object().put("step", DemoStep.ZERO.word()).put("number", 1));
    thread.begin(() -> run(name, quick));
  }

  /** A name that no earlier one has. */
  private String free() {
    String name = FOLDER;
    for (int number = 2; Files.exists(data.resolve(name), LinkOption.NOFOLLOW_LINKS); number++) {
      name = FOLDER + "-" + number;
    }
    return name;
  }

  private void run(String name, boolean quick) {
    Steps steps = new Steps(name, quick);
    try {
      new DemoJob(data.resolve(name), true, 1, DemoChange.SHORT_SIDE, steps).run(steps::follow);
      end(name, JsonOut.object().put("done", true));
    } catch (InterruptedException e) {
      end(name, JsonOut.object().put("stopped", true));
    } catch (IOException | RuntimeException e) {
      LOG.debug("try-out broke off", e);
      end(name, JsonOut.object().put("failed", Failure.words(e)));
    }
  }

  private void end(String name, ObjectNode how) {
    lines.free();
    tell(name, how);
    capture.rests();
  }

  private synchronized void tell(String name, ObjectNode json) {
    stands = Optional.of(json.put("name", name).put("steps", DemoStep.values().length));
  }

  /** Shows each step and each test, no faster than they can be followed. */
  private final class Steps implements DemoStep.Progress {
    private final String name;
    private final boolean quick;
    private DemoStep step = DemoStep.ZERO;
    private long shownSince = System.nanoTime() - SHOWN_NANOS;

    Steps(String name, boolean quick) {
      this.name = name;
      this.quick = quick;
    }

    @Override
    public void begins(DemoStep next, String sentence) throws InterruptedException {
      if (Thread.interrupted()) {
        throw new InterruptedException();
      }
      long left = shownSince + SHOWN_NANOS - System.nanoTime();
      if (!quick && left > 0) {
        TimeUnit.NANOSECONDS.sleep(left);
      }
      shownSince = System.nanoTime();
      step = next;
      tell(name, JsonOut.object().put("step", next.word()).put("number", next.ordinal() + 1));
      capture.prepares("The try-out: " + sentence);
    }

    void follow(TestSession session) {
      capture.follow(name + "/" + step.word(), session, new LiveTest.Settings(true, false));
      if (!quick) {
        session.listen(new HeldBack());
      }
    }
  }

  /** Holds a simulated test back to {@link #SPEED}; an interruption stays set for the session. */
  private static final class HeldBack implements SessionListener {
    private final long begun = System.nanoTime();

    @Override
    public void state(RunState state) {
      double at = state.live().flow().seconds();
      long ahead = Math.round(at / SPEED * 1e9) - (System.nanoTime() - begun);
      if (Double.isFinite(at) && ahead > 0) {
        LockSupport.parkNanos(ahead);
      }
    }
  }

  /** Ends it at once; what it wrote stays. */
  @Override
  public void close() {
    thread.end();
  }
}
