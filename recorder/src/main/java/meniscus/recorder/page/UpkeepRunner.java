package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Queue;
import java.util.Set;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.ConcurrentLinkedQueue;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.page.http.LiveEvents;
import meniscus.recorder.page.http.Response;
import meniscus.recorder.upkeep.PlateRun;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Upkeep of the bench, guided from the page: one task at a time, on a thread of its own. What it
 * does, asks and finds is told to every viewer; whoever is in charge answers.
 */
final class UpkeepRunner implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(UpkeepRunner.class);

  private static final Set<String> MEMBERS =
      Set.of(
          "client",
          "do",
          "direction",
          "range",
          "at",
          "limit",
          "set_up",
          "seconds",
          "lift",
          "plates",
          "plate",
          "bevel",
          "text",
          "remark",
          "quick",
          "seed");

  private final UpkeepTasks tasks;
  private final LiveEvents events;
  private final ControlLease charge;
  private final Listening listening;
  private final InUse lines;
  private Optional<Running> running = Optional.empty();

  UpkeepRunner(
      UpkeepTasks tasks, LiveEvents events, ControlLease charge, Listening listening, InUse lines) {
    this.tasks = tasks;
    this.events = events;
    this.charge = charge;
    this.listening = listening;
    this.lines = lines;
  }

  Response take(byte[] body) throws HttpError {
    JsonIn in = JsonIn.read(body, MEMBERS);
    charge.allowOrRefuse(in);
    String word = in.text("do");
    switch (word) {
      case "mounted" -> runningOrRefuse().answered(Optional.of(bevel(in)));
      case "leave_out" -> runningOrRefuse().leftOut();
      case "read" -> runningOrRefuse().read(in.text("text"));
      case "keep" -> runningOrRefuse().keep();
      case "stop" -> runningOrRefuse().stop();
      default -> begin(tasks.asked(word, in));
    }
    return Response.json(TestJson.object().put("done", word));
  }

  private static Bevel bevel(JsonIn in) throws HttpError {
    String word = in.text("bevel");
    for (Bevel bevel : Bevel.values()) {
      if (bevel.word().equals(word) && bevel != Bevel.UPSTREAM) {
        return bevel;
      }
    }
    throw HttpError.wrong(
        "\"bevel\" is downstream or none; a plate with its bevel upstream passes several per cent"
            + " too much: turn it over");
  }

  private synchronized void begin(UpkeepTask task) throws HttpError {
    lines.take(task.title());
    listening.close();
    Running begun = new Running(task);
    running = Optional.of(begun);
    begun.thread.start();
  }

  private synchronized Running runningOrRefuse() throws HttpError {
    return running
        .filter(one -> one.thread.isAlive())
        .orElseThrow(() -> HttpError.notNow("nothing is being done for the bench: begin a task"));
  }

  /** What goes on, or how the last task ended; an object without members before the first. */
  synchronized ObjectNode json() {
    return running.map(Running::json).orElseGet(TestJson::object);
  }

  @Override
  public synchronized void close() {
    running.ifPresent(Running::stop);
  }

  /** One task under way. */
  private final class Running implements PlateRun.Operator {
    private final UpkeepTask task;
    private final Thread thread;
    private final List<ObjectNode> log = new ArrayList<>();
    private String doing = "";
    private Optional<Plate> asks = Optional.empty();
    private BlockingQueue<Optional<Bevel>> answer = new ArrayBlockingQueue<>(1);
    private Wish wish = Wish.NOTHING;
    private final Queue<String> typed = new ConcurrentLinkedQueue<>();
    private Optional<UpkeepTask.Outcome> outcome = Optional.empty();

    Running(UpkeepTask task) {
      this.task = task;
      this.thread = new Thread(this::run, task.word());
      this.thread.setDaemon(true);
    }

    private void run() {
      UpkeepTask.Outcome ended;
      try {
        ended = task.work().done(this);
      } catch (InterruptedException e) {
        ended = failed("Stopped; the bench file is as it was");
      } catch (IOException | RuntimeException e) {
        LOG.debug("{} broke off", task.title(), e);
        ended = failed(Failure.words(e));
      }
      synchronized (this) {
        outcome = Optional.of(ended);
        asks = Optional.empty();
      }
      lines.free();
      shown();
      events.tell("changed", TestJson.object());
    }

    private UpkeepTask.Outcome failed(String why) {
      return new UpkeepTask.Outcome(true, List.of(why), "");
    }

    private void shown() {
      events.tell("upkeep", json());
    }

    @Override
    public void told(String sentence) {
      synchronized (this) {
        log(sentence, true);
        doing = sentence;
      }
      shown();
    }

    @Override
    public void missed(Plate plate, String why) {
      synchronized (this) {
        log("plate " + plate.name() + ": " + why, false);
      }
      shown();
    }

    private void log(String text, boolean good) {
      log.add(TestJson.object().put("text", text).put("good", good));
    }

    @Override
    public Optional<Bevel> mounted(Plate plate) throws InterruptedException {
      BlockingQueue<Optional<Bevel>> awaited = new ArrayBlockingQueue<>(1);
      synchronized (this) {
        asks = Optional.of(plate);
        answer = awaited;
        doing = "Waiting for plate " + plate.name();
      }
      shown();
      Optional<Bevel> bevel = awaited.take();
      synchronized (this) {
        asks = Optional.empty();
      }
      told("Plate " + plate.name() + " is mounted: blower on");
      return bevel;
    }

    @Override
    public void wanted(Wish now) {
      synchronized (this) {
        wish = now;
      }
      shown();
    }

    @Override
    public Optional<String> typed() {
      return Optional.ofNullable(typed.poll());
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

    /** A plate that is asked for, or a reading. */
    synchronized void leftOut() throws HttpError {
      if (wish.gauges().isEmpty()) {
        answered(Optional.empty());
      } else {
        typed.add(SKIP);
      }
    }

    synchronized void answered(Optional<Bevel> bevel) throws HttpError {
      if (asks.isEmpty() || !answer.offer(bevel)) {
        throw HttpError.notNow("no plate is being asked for");
      }
    }

    void stop() {
      thread.interrupt();
    }

    /** What is to be read by eye: nothing where there are no columns. */
    private void reads(ObjectNode json) {
      json.put("said", wish.said()).put("next", wish.next()).put("keeps", wish.keeps());
      ArrayNode columns = json.putArray("columns");
      for (Gauge gauge : wish.gauges()) {
        columns
            .addObject()
            .put("channel", gauge.channel().name())
            .put("unit", gauge.channel().unit().symbol())
            .put("wanted", gauge.wanted());
      }
    }

    synchronized ObjectNode json() {
      ObjectNode json = TestJson.object().put("task", task.word()).put("title", task.title());
      json.put("running", outcome.isEmpty()).put("doing", doing);
      json.put("asks", asks.map(Plate::name).orElse(null));
      reads(json.putObject("reads"));
      ArrayNode rows = json.putArray("log");
      log.forEach(rows::add);
      outcome.ifPresent(
          ended -> {
            ObjectNode end = json.putObject("outcome").put("doubt", ended.doubt());
            TestJson.texts(end, "lines", ended.lines());
            end.put("page", ended.page());
          });
      return json;
    }
  }
}
