package meniscus.recorder.page.upkeep;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Queue;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.TimeUnit;
import meniscus.core.bench.Evidence;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.quantity.Worded;
import meniscus.recorder.feed.BenchMessage;
import meniscus.recorder.feed.Stopped;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.bench.Failure;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.LiveEvents;
import meniscus.recorder.upkeep.BenchOperator;
import meniscus.recorder.upkeep.UpkeepMessage;
import meniscus.recorder.upkeep.UpkeepOutcome;
import meniscus.recorder.upkeep.UpkeepTask;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * One piece of upkeep under way, on a thread of its own. What it does, asks and finds is told to
 * every viewer. It is stopped by a flag that it looks at many times a second: its thread is never
 * interrupted, for that would close the file it writes.
 */
final class UpkeepUnderWay implements BenchOperator {

  private static final Logger LOG = LoggerFactory.getLogger(UpkeepUnderWay.class);

  /** Nobody reads faster than this (our own choice). */
  private static final long SHOWN_NANOS = TimeUnit.MILLISECONDS.toNanos(200);

  /** How often a question looks whether it is still to be answered. */
  private static final long LOOK_MILLIS = 100;

  private static final String LEAVE_OUT = "leave_out";
  private static final String READY = "ready";

  /**
   * What the person is asked.
   *
   * @param kind {@code plate}, {@code ready} or {@code missed}
   * @param what the plate, what to do, or what could not be read and why
   * @param answers that end it
   */
  private record Question(String kind, String what, List<String> answers) {}

  private final UpkeepTask task;
  private final Unit pressure;
  private final LiveEvents events;
  private final Runnable ended;
  private final Thread thread;
  private final List<ObjectNode> log = new ArrayList<>();
  private final List<ObjectNode> points = new ArrayList<>();
  private final Queue<String> typed = new ConcurrentLinkedQueue<>();
  private volatile boolean stop;
  private String doing = "";
  private Optional<Question> question = Optional.empty();
  private BlockingQueue<String> answer = new ArrayBlockingQueue<>(1);
  private Wish wish = Wish.NOTHING;
  private Optional<Step> step = Optional.empty();
  private Optional<UpkeepOutcome> outcome = Optional.empty();
  private long shownAt;

  /**
   * @param units of the bench's owner
   * @param ended is run when the bench's lines are closed again
   */
  UpkeepUnderWay(UpkeepTask task, UnitSystem units, LiveEvents events, Runnable ended) {
    this.task = task;
    this.pressure = units.unit(Dimension.PRESSURE);
    this.events = events;
    this.ended = ended;
    this.thread = new Thread(this::run, task.word());
    this.thread.setDaemon(true);
  }

  void start() {
    thread.start();
  }

  boolean goesOn() {
    return thread.isAlive();
  }

  private void run() {
    UpkeepOutcome came;
    try {
      came = task.done(this);
    } catch (IOException | RuntimeException e) {
      LOG.debug("{} broke off", task.title(), e);
      came = UpkeepOutcome.refused(Failure.words(e));
    }
    synchronized (this) {
      outcome = Optional.of(came);
      question = Optional.empty();
      wish = Wish.NOTHING;
    }
    ended.run();
    shown();
    events.tell("changed", JsonOut.object());
  }

  private void shown() {
    events.tell("upkeep", json());
  }

  // ------------------------------------------------------------------ what the task says

  @Override
  public void told(BenchMessage message) {
    String sentence = message.sentence();
    synchronized (this) {
      log(sentence, true);
      doing = sentence;
    }
    shown();
  }

  private void log(String text, boolean good) {
    log.add(JsonOut.object().put("text", text).put("good", good));
  }

  @Override
  public void step(Step now) {
    synchronized (this) {
      step = Optional.of(now);
    }
    shown();
  }

  @Override
  public void point(Evidence.Point point) {
    ObjectNode json = JsonOut.object().put("plate", point.plate());
    JsonOut.put(json, "drop", point.dropPa(), pressure);
    JsonOut.put(json, "percent", 100 * (point.ratio() - 1), 1);
    JsonOut.put(json, "u95_percent", 196 * point.standardUncertainty(), 1);
    synchronized (this) {
      points.add(json);
    }
    shown();
  }

  @Override
  public void wanted(Wish now) {
    synchronized (this) {
      wish = now;
    }
    shown();
  }

  @Override
  public void live(Live live) {
    long now = System.nanoTime();
    if (now - shownAt >= SHOWN_NANOS) {
      shownAt = now;
      events.show("upkeep_live", () -> json(live));
    }
  }

  private ObjectNode json(Live live) {
    ObjectNode json = JsonOut.object().put("unit", pressure.symbol());
    JsonOut.put(json, "asked", live.askedPa(), pressure);
    JsonOut.put(json, "low", (1 - live.band()) * live.askedPa(), pressure);
    JsonOut.put(json, "high", (1 + live.band()) * live.askedPa(), pressure);
    JsonOut.put(json, "pressure", live.pressurePa(), pressure);
    JsonOut.put(json, "drop", live.dropPa(), pressure);
    json.put("in_band", live.inBand()).put("at_rest", live.atRest());
    JsonOut.put(json, "still_s", live.stillSeconds(), 1);
    JsonOut.put(json, "longest_s", live.longestSeconds(), 1);
    return json;
  }

  @Override
  public boolean stopped() {
    return stop;
  }

  @Override
  public Optional<String> typed() {
    return Optional.ofNullable(typed.poll());
  }

  // ------------------------------------------------------------------ what the task asks

  @Override
  public Optional<Bevel> mounted(Plate plate, Direction direction) throws InterruptedException {
    List<String> answers = new ArrayList<>(List.of(LEAVE_OUT));
    answers.addAll(Worded.words(Bevel.values()));
    String bevel = ask(new Question("plate", plate.name(), answers));
    told(
        bevel.equals(LEAVE_OUT)
            ? new UpkeepMessage.PlateLeftOut(plate)
            : new UpkeepMessage.PlateMounted(plate));
    return Worded.named(Bevel.values(), bevel);
  }

  /** The form has said it. */
  @Override
  public void prepare(String what) {
    told(new UpkeepMessage.BlowerOn());
  }

  @Override
  public void ready(String what) throws InterruptedException {
    ask(new Question("ready", what, List.of(READY)));
  }

  @Override
  public Then missed(String what, String why) throws InterruptedException {
    synchronized (this) {
      log(what + ": " + why, false);
    }
    String then =
        ask(
            new Question(
                "missed",
                what + ": " + why,
                List.of(Then.AGAIN.word(), Then.LONGER.word(), LEAVE_OUT)));
    return Worded.named(Then.values(), then).orElse(Then.LEAVE_OUT);
  }

  private String ask(Question asked) throws InterruptedException {
    BlockingQueue<String> awaited = new ArrayBlockingQueue<>(1);
    synchronized (this) {
      question = Optional.of(asked);
      answer = awaited;
    }
    shown();
    String given = null;
    while (given == null) {
      if (stop) {
        throw new Stopped();
      }
      given = awaited.poll(LOOK_MILLIS, TimeUnit.MILLISECONDS);
    }
    synchronized (this) {
      question = Optional.empty();
    }
    return given;
  }

  // ------------------------------------------------------------------ what the person answers

  void answered(String word) throws HttpError {
    synchronized (this) {
      if (question.isEmpty()) {
        throw HttpError.notNow("nothing is being asked for");
      }
      Question asked = question.get();
      if (word.equals(Bevel.UPSTREAM.word()) || !asked.answers().contains(word)) {
        throw HttpError.wrong(
            asked.kind().equals("plate")
                ? "\"bevel\" is downstream or none; a plate with its bevel upstream passes several"
                    + " per cent too much: turn it over"
                : "answer with one of " + asked.answers());
      }
      if (!answer.offer(word)) {
        throw HttpError.notNow("that is answered already");
      }
    }
  }

  /** A plate that is asked for, or a reading. */
  synchronized void leftOut() throws HttpError {
    if (wish.gauges().isEmpty()) {
      answered(LEAVE_OUT);
    } else {
      typed.add(SKIP);
    }
  }

  /** Readings of columns; what is none is refused at once. */
  synchronized void read(String text) throws HttpError {
    Optional<String> refusal = wish.refusal().apply(text);
    if (refusal.isPresent()) {
      throw HttpError.wrong(refusal.get());
    }
    typed.add(text);
  }

  synchronized void keep() throws HttpError {
    if (!wish.keeps()) {
      throw HttpError.notNow("nothing is read yet that could be kept");
    }
    typed.add(KEEP);
  }

  void stop() {
    stop = true;
  }

  // ------------------------------------------------------------------ how it stands

  /** What is to be read by eye: nothing where there are no columns. */
  private void reads(ObjectNode json) {
    json.put("said", wish.said()).put("next", wish.next()).put("keeps", wish.keeps());
    JsonOut.list(
        json,
        "columns",
        wish.gauges(),
        (node, gauge) ->
            node.put("channel", gauge.channel().name())
                .put("unit", gauge.channel().unit().symbol())
                .put("wanted", gauge.wanted()));
  }

  private Optional<String> asks(String kind) {
    return question.filter(asked -> asked.kind().equals(kind)).map(Question::what);
  }

  synchronized ObjectNode json() {
    ObjectNode json = JsonOut.object().put("task", task.word()).put("title", task.title());
    json.put("running", outcome.isEmpty()).put("doing", doing);
    json.put("step", step.map(Step::words).orElse(""));
    json.put("asks", asks("plate").orElse(null));
    json.put("ready", asks("ready").orElse(null));
    json.put("missed", asks("missed").orElse(null));
    reads(json.putObject("reads"));
    json.put("drop_unit", pressure.symbol());
    json.putArray("points").addAll(points);
    JsonOut.array(json, "log", log);
    outcome.ifPresent(came -> outcome(came, json.putObject("outcome")));
    return json;
  }

  private static void outcome(UpkeepOutcome came, ObjectNode json) {
    json.put("kind", came.kind().word());
    json.put("doubt", came.kind() != UpkeepOutcome.Kind.DONE);
    JsonOut.array(json, "lines", came.lines().stream().map(UpkeepOutcome.Line::text).toList());
    JsonOut.array(json, "good", came.lines().stream().map(line -> line.good()).toList());
    String sha256 = came.json().path("sha256").asText();
    json.put("page", sha256.isEmpty() ? "" : "/calibration?sha256=" + sha256);
    json.set("json", came.json());
  }
}
