package meniscus.recorder.upkeep;

import java.io.IOException;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Use;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.pipeline.Command;
import meniscus.core.pipeline.MessageWords;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.core.pipeline.RunState;
import meniscus.recorder.feed.GaugeReader;
import meniscus.recorder.feed.Stopped;
import meniscus.recorder.session.SessionListener;
import meniscus.recorder.session.TestRecorder;
import meniscus.recorder.session.TestSession;

/**
 * A lift test that the operator is led through as part of a piece of upkeep. The test has a thread
 * of its own; questions are asked on the task's, and a stop is passed on as the test's own.
 */
final class LedTest implements SessionListener {

  /** How often it is looked whether something is to be asked [ms]. */
  private static final long LOOK_MILLIS = 50;

  private final BenchOperator operator;
  private final Plan plan;
  private final MessageWords words;
  private final boolean handsFree;
  private volatile Optional<TestSession> session = Optional.empty();
  private volatile Optional<Rung> wanted = Optional.empty();
  private int askedRung;
  private boolean stopping;

  /**
   * @param handsFree whether the rungs are recognised by their lift
   */
  LedTest(BenchOperator operator, Plan plan, boolean handsFree) {
    this.operator = operator;
    this.plan = plan;
    this.words = new MessageWords(plan);
    this.handsFree = handsFree;
  }

  /** True where a gauge reads the lift. */
  static boolean liftIsHeard(Bench bench) {
    return bench
        .source(Use.LIFT)
        .map(source -> source.fold(gauge -> true, typed -> false))
        .orElse(false);
  }

  TestRecorder.Outcome run(TestRecorder recorder) throws IOException, InterruptedException {
    CompletableFuture<TestRecorder.Outcome> test = new CompletableFuture<>();
    Thread owner = new Thread(() -> record(recorder, test), "fitting");
    owner.setDaemon(true);
    owner.start();
    while (true) {
      try {
        TestRecorder.Outcome outcome = test.get(LOOK_MILLIS, TimeUnit.MILLISECONDS);
        if (stopping) {
          throw new Stopped();
        }
        return outcome;
      } catch (TimeoutException goesOn) {
        lead();
      } catch (ExecutionException e) {
        throw rethrown(e.getCause());
      }
    }
  }

  private void record(TestRecorder recorder, CompletableFuture<TestRecorder.Outcome> test) {
    try {
      test.complete(
          recorder.record(
              begun -> {
                begun.listen(this);
                session = Optional.of(begun);
              }));
    } catch (IOException | InterruptedException | RuntimeException e) {
      test.completeExceptionally(e);
    }
  }

  private static IOException rethrown(Throwable cause) throws InterruptedException {
    if (cause instanceof InterruptedException stopped) {
      throw stopped;
    }
    if (cause instanceof RuntimeException fault) {
      throw fault;
    }
    return cause instanceof IOException io ? io : new IOException(cause);
  }

  /** Passes on a stop and what is typed; asks for the next lift where no gauge reads it. */
  private void lead() throws InterruptedException {
    Optional<TestSession> open = session;
    if (open.isEmpty()) {
      return;
    }
    if (operator.stopped() && !stopping) {
      stopping = true;
      open.get().submit(new Command.Stop("by the operator"));
      return;
    }
    Optional<Rung> rung = wanted;
    if (!handsFree && !stopping && rung.isPresent() && rung.get().number() != askedRung) {
      askedRung = rung.get().number();
      try {
        operator.ready(
            "Set the valve to "
                + new InUnits(plan.units()).lift(rung.get().liftM())
                + " and hold the test pressure.");
        open.get().submit(new Command.Keep(false));
      } catch (Stopped e) {
        stopping = true;
        open.get().submit(new Command.Stop("by the operator"));
      }
    }
  }

  // ------------------------------------------------------------------ on the test's thread

  @Override
  public void kept(LiftPoint point) {
    operator.told(new UpkeepMessage.LiftKept(point, plan));
  }

  @Override
  public void notSafeYet(LiftPoint point, String reason) {
    operator.told(new UpkeepMessage.LiftNotSafe(point, plan, reason));
  }

  @Override
  public void told(OperatorMessage message) {
    if (message.kind() != OperatorMessage.Kind.UPKEEP) {
      operator.told(new UpkeepMessage.OfTest(message, words));
    }
  }

  @Override
  public void state(RunState state) {
    wanted = state.wanted().rung();
    operator.live(
        new GaugeReader.Live(
            state.wanted().aimPa(),
            plan.aimBand(),
            state.live().pressure().value(),
            state.live().dropPa(),
            state.average().seconds(),
            plan.longestSeconds()));
  }
}
