package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import meniscus.core.bench.Use;
import meniscus.core.lift.EventText;
import meniscus.core.lift.LiftName;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.Command;
import meniscus.core.pipeline.MessageWords;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.core.pipeline.RunState;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.LiveEvents;
import meniscus.recorder.session.SessionListener;
import meniscus.recorder.session.TestSession;

/**
 * The test that runs: follows its session and tells the viewers. What the session's thread calls
 * here returns at once.
 */
final class LiveTest implements SessionListener {

  private static final int SENTENCES = 30;

  /** Events that are told as they are written; the ladder and the states tell the rest. */
  private static final Set<TestEvent.Kind> TOLD =
      Set.of(
          TestEvent.Kind.UNDONE,
          TestEvent.Kind.REDO,
          TestEvent.Kind.SKIPPED,
          TestEvent.Kind.CONFIRM,
          TestEvent.Kind.NOTE,
          TestEvent.Kind.CLOCK,
          TestEvent.Kind.STOPPED);

  /** A state in which the flow has not moved for this long is no live reading any more. */
  private static final long FRESH_NANOS = TimeUnit.MILLISECONDS.toNanos(1_000);

  /**
   * States are shown no oftener than that by the clock on the wall. Real ones come every 25 ms,
   * each of which is shown, however unevenly.
   */
  private static final long SHOWN_NANOS = TimeUnit.MILLISECONDS.toNanos(20);

  /**
   * The same where the test's own time runs faster than the wall's, a hundred times at most: no eye
   * takes in four thousand states a second, and to draw one costs more than to simulate it.
   */
  private static final long HURRIED_NANOS = TimeUnit.MILLISECONDS.toNanos(50);

  private final String name;
  private final Plan plan;
  private final TestSession session;
  private final LiveEvents events;
  private final Settings settings;
  private final TestJson showing;
  private final MessageWords words;
  private final Trace trace = new Trace();
  private final Deque<ObjectNode> told = new ArrayDeque<>();
  private final Map<String, String> lost = new TreeMap<>();
  private final Age flow = new Age();
  private final Age pressure = new Age();
  private final Age lift = new Age();
  private List<RunState.Mark> marks = List.of();
  private ObjectNode ladder = JsonOut.object();
  private ObjectNode live = JsonOut.object();
  private RunState.Phase phase = RunState.Phase.WAITING;
  private long shownAt = System.nanoTime() - 2 * HURRIED_NANOS;
  private double shownSeconds;
  private Optional<Integer> wanted = Optional.empty();
  private boolean keepAsked;
  private final Optional<Integer> begunAnew;

  /**
   * How the test is run.
   *
   * @param handsFree rungs are kept by themselves
   * @param clockStops simulated time stands still while a good average waits for the operator
   */
  record Settings(boolean handsFree, boolean clockStops) {}

  /** How long ago a reading last came in, by the clock on the wall. */
  private static final class Age {
    private double newest = Double.NaN;
    private long since = System.nanoTime();

    boolean fresh(double momentSeconds) {
      long now = System.nanoTime();
      if (momentSeconds != newest && Double.isFinite(momentSeconds)) {
        newest = momentSeconds;
        since = now;
      }
      return Double.isFinite(newest) && now - since <= FRESH_NANOS;
    }
  }

  LiveTest(String name, TestSession session, LiveEvents events, Settings settings) {
    this.name = name;
    this.session = session;
    this.plan = session.ladder().plan();
    this.events = events;
    this.settings = settings;
    this.showing = new TestJson(plan.units());
    RunState first = session.ladder().state();
    boolean takenUp =
        first.marks().stream().anyMatch(mark -> mark.point().isPresent() || mark.skipped());
    this.begunAnew = takenUp ? first.wanted().rung().map(rung -> rung.number()) : Optional.empty();
    this.words = new MessageWords(plan);
  }

  // ------------------------------------------------------------------ from the session

  @Override
  public void state(RunState state) {
    boolean waits =
        settings.clockStops()
            && !state.wanted().armed()
            && state
                .average()
                .judged()
                .map(judged -> judged.precise() && judged.decided())
                .orElse(false);
    Optional<Integer> rung = state.wanted().rung().map(asked -> asked.number());
    boolean ladderMoved;
    boolean now;
    synchronized (this) {
      ladderMoved = !marks.equals(state.marks());
      boolean another = ladderMoved || !rung.equals(wanted);
      now = another || waits || state.phase() != phase || isDue(state);
      keepAsked &= !another;
      wanted = rung;
    }
    if (now) {
      show(state, waits, ladderMoved);
    }
  }

  /** Under this test's lock. */
  private boolean isDue(RunState state) {
    long since = System.nanoTime() - shownAt;
    boolean hurried = (state.live().flow().seconds() - shownSeconds) * 1e9 > 2 * since;
    return since > (hurried ? HURRIED_NANOS : SHOWN_NANOS);
  }

  private void show(RunState state, boolean waits, boolean ladderMoved) {
    ObjectNode json = showing.state(state);
    boolean stands =
        state.average().judged().isPresent()
            && (typed(state, Use.TEST_PRESSURE) || typed(state, Use.ELEMENT_DROP));
    json.put("flow_fresh", flow.fresh(state.live().flow().seconds()) || waits || stands);
    json.put(
        "pressure_fresh",
        pressure.fresh(state.live().pressure().seconds())
            || waits
            || typed(state, Use.TEST_PRESSURE));
    json.put(
        "lift_fresh", lift.fresh(state.live().lift().seconds()) || waits || typed(state, Use.LIFT));
    json.put("clock_stands", waits);
    trace.add(json);
    synchronized (this) {
      live = json;
      phase = state.phase();
      shownAt = System.nanoTime();
      shownSeconds = state.live().flow().seconds();
      if (ladderMoved) {
        marks = state.marks();
        ladder = showing.ladder(state);
      }
    }
    if (ladderMoved) {
      events.tell("ladder", ladder);
    }
    events.show("state", () -> json);
  }

  /** True when a person has typed it for this rung: it stands. */
  private static boolean typed(RunState state, Use use) {
    return state.byEye().stream().anyMatch(eye -> eye.use() == use && !eye.wanted());
  }

  @Override
  public void kept(LiftPoint point) {
    ObjectNode json = showing.point(point);
    json.put("sentence", showing.sentence(point));
    events.tell("kept", json);
  }

  @Override
  public void notSafeYet(LiftPoint point, String reason) {
    say(
        "not_safe",
        LiftName.of(plan, point.rung(), point.liftM()) + " is kept in memory only: " + reason);
  }

  @Override
  public void told(OperatorMessage message) {
    String sentence = words.sentence(message);
    switch (message.kind()) {
      case DISK -> gone("disk", Optional.of(sentence));
      case DISK_AGAIN -> gone("disk", Optional.empty());
      default -> {
        // A sentence is enough.
      }
    }
    say(message.kind().word(), sentence);
  }

  /** What is gone stands large on the page until it is back. */
  private void gone(String id, Optional<String> why) {
    ObjectNode json;
    synchronized (this) {
      if (why.isPresent()) {
        lost.put(id, why.get());
      } else {
        lost.remove(id);
      }
      json = lostJson();
    }
    events.tell("instruments", json);
  }

  @Override
  public void event(TestEvent event) {
    TestEvent.What what = event.what();
    if (what instanceof TestEvent.Lost lost) {
      gone(lost.id(), Optional.of(EventText.detail(lost)));
      say(lost.kind().word(), "gone: " + EventText.detail(lost));
    } else if (what instanceof TestEvent.Back back) {
      gone(back.id(), Optional.empty());
      say(back.kind().word(), back.id() + " is back");
    } else if (TOLD.contains(event.kind())) {
      say(what.kind().word(), what.kind().word() + ": " + EventText.detail(what));
    }
  }

  private void say(String kind, String text) {
    ObjectNode json = JsonOut.object().put("kind", kind).put("text", text);
    synchronized (this) {
      told.addLast(json);
      if (told.size() > SENTENCES) {
        told.removeFirst();
      }
    }
    events.tell("told", json);
  }

  // ------------------------------------------------------------------ from the viewers

  /**
   * A keep, however often it is asked for, keeps one rung once.
   *
   * @param seen rung that the operator had before him
   * @return false when this rung's keep was asked for already
   */
  boolean keep(boolean asItStands, Optional<Integer> seen) throws HttpError {
    synchronized (this) {
      if (seen.isPresent() && !seen.equals(wanted)) {
        throw HttpError.notNow(
            "lift no. " + seen.get() + " is done already; nothing more was kept than you saw");
      }
      if (keepAsked && !asItStands) {
        return false;
      }
      keepAsked = true;
    }
    session.submit(new Command.Keep(asItStands));
    return true;
  }

  void submit(Command command) {
    synchronized (this) {
      keepAsked = false;
    }
    session.submit(command);
  }

  /**
   * Takes readings that were typed.
   *
   * @throws Refused when they are none: why
   */
  void type(String readings) throws HttpError {
    Optional<String> refusal = session.type(readings, false);
    if (refusal.isPresent()) {
      throw HttpError.wrong(refusal.get());
    }
  }

  String name() {
    return name;
  }

  /** Number of rungs of its plan. */
  int rungs() {
    return plan.ladder().size();
  }

  /** All that a page needs when it opens. */
  synchronized ObjectNode json() {
    ObjectNode json = JsonOut.object();
    json.put("name", name).put("hands_free", settings.handsFree());
    json.set("units", showing.units());
    json.set("plan", showing.plan(plan));
    json.set("ladder", ladder);
    json.set("live", live);
    json.set("instruments", lostJson());
    json.put("begun_anew", begunAnew.orElse(null));
    JsonOut.array(json, "told", new ArrayList<>(told));
    json.set("trace", trace.json());
    return json;
  }

  private ObjectNode lostJson() {
    ObjectNode json = JsonOut.object();
    ArrayNode gone = json.putArray("lost");
    lost.forEach((id, why) -> gone.addObject().put("id", id).put("why", why));
    return json;
  }
}
