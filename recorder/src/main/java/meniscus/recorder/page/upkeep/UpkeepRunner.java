package meniscus.recorder.page.upkeep;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.time.InstantSource;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.bench.BenchOfPage;
import meniscus.recorder.page.bench.InUse;
import meniscus.recorder.page.bench.Listening;
import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.page.http.LiveEvents;
import meniscus.recorder.page.http.Response;
import meniscus.recorder.upkeep.UpkeepPlace;
import meniscus.recorder.upkeep.UpkeepRequest;
import meniscus.recorder.upkeep.UpkeepTask;
import meniscus.recorder.upkeep.UpkeepTasks;
import meniscus.recorder.upkeep.WrongRequest;

/**
 * Upkeep of the bench, guided from the page: one task at a time. What it does stands in {@code
 * recorder.upkeep}; here it is asked for, answered by whoever is in charge, and shown.
 */
public final class UpkeepRunner implements AutoCloseable {

  private static final Set<String> MEMBERS = members();

  private final BenchOfPage bench;
  private final UpkeepPlace.Library library;
  private final Drivers drivers;
  private final InstantSource clock;
  private final LiveEvents events;
  private final ControlLease charge;
  private final Listening listening;
  private final InUse lines;
  private Optional<UpkeepUnderWay> running = Optional.empty();

  public UpkeepRunner(
      BenchOfPage bench,
      UpkeepPlace.Library library,
      Drivers drivers,
      InstantSource clock,
      LiveEvents events,
      ControlLease charge,
      Listening listening,
      InUse lines) {
    this.bench = bench;
    this.library = library;
    this.drivers = drivers;
    this.clock = clock;
    this.events = events;
    this.charge = charge;
    this.listening = listening;
    this.lines = lines;
  }

  private static Set<String> members() {
    Set<String> members = new HashSet<>(UpkeepRequest.OPTIONS);
    members.addAll(Set.of("client", "do", "bevel", "text"));
    return members;
  }

  public Response take(byte[] body) throws HttpError, IOException {
    JsonIn in = JsonIn.read(body, MEMBERS);
    charge.allowOrRefuse(in);
    String word = in.text("do");
    switch (word) {
      case "mounted" -> underWay().answered(in.text("bevel"));
      case "ready", "again", "longer" -> underWay().answered(word);
      case "leave_out" -> underWay().leftOut();
      case "read" -> underWay().read(in.text("text"));
      case "keep" -> underWay().keep();
      case "stop" -> underWay().stop();
      default -> begin(task(word, in));
    }
    return Response.json(JsonOut.object().put("done", word));
  }

  /** Everything is read and checked here, before any line is opened. */
  private UpkeepTask task(String word, JsonIn in) throws HttpError, IOException {
    Map<String, List<String>> given = new HashMap<>();
    for (String option : UpkeepRequest.OPTIONS) {
      Optional<JsonNode> value = in.any(option).filter(node -> !node.isNull());
      if (UpkeepRequest.FLAGS.contains(option)) {
        if (in.flag(option)) {
          given.put(option, List.of(UpkeepRequest.YES));
        }
      } else if (UpkeepRequest.LISTS.contains(option)) {
        if (value.isPresent()) {
          given.put(option, in.texts(option));
        }
      } else if (value.filter(JsonNode::isNumber).isPresent()) {
        given.put(option, List.of(String.valueOf(in.optionalWhole(option).orElseThrow())));
      } else {
        in.optionalText(option).ifPresent(text -> given.put(option, List.of(text)));
      }
    }
    try {
      return UpkeepTasks.of(
          new UpkeepRequest(word, given),
          new UpkeepPlace(bench.file(), bench.platesFile(), library, drivers, clock));
    } catch (WrongRequest e) {
      throw e.why() == WrongRequest.Why.NOT_NOW
          ? HttpError.notNow(e.getMessage())
          : HttpError.wrong("\"" + e.option() + "\": " + e.getMessage());
    } catch (Refusal e) {
      throw HttpError.wrong(String.valueOf(e.getMessage()));
    }
  }

  private synchronized void begin(UpkeepTask task) throws HttpError {
    lines.take(task.title());
    listening.close();
    UpkeepUnderWay begun = new UpkeepUnderWay(task, bench.units(), events, lines::free);
    running = Optional.of(begun);
    begun.start();
  }

  private synchronized UpkeepUnderWay underWay() throws HttpError {
    return running
        .filter(UpkeepUnderWay::goesOn)
        .orElseThrow(() -> HttpError.notNow("nothing is being done for the bench: begin a task"));
  }

  /** What goes on, or how the last task ended; an object without members before the first. */
  public synchronized ObjectNode json() {
    return running.map(UpkeepUnderWay::json).orElseGet(JsonOut::object);
  }

  @Override
  public synchronized void close() {
    running.ifPresent(UpkeepUnderWay::stop);
  }
}
