package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ObjectNode;
import com.sun.net.httpserver.HttpExchange;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.nio.file.Path;
import java.time.InstantSource;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.outlet.Outlets;
import meniscus.recorder.page.bench.BenchOfPage;
import meniscus.recorder.page.bench.InUse;
import meniscus.recorder.page.bench.Listening;
import meniscus.recorder.page.http.Client;
import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.Listener;
import meniscus.recorder.page.http.LiveEvents;
import meniscus.recorder.page.http.RemoteViewers;
import meniscus.recorder.page.http.Request;
import meniscus.recorder.page.http.Response;
import meniscus.recorder.page.http.Viewer;
import meniscus.recorder.page.upkeep.UpkeepRunner;
import meniscus.recorder.session.TestRecorder;
import meniscus.recorder.session.TestSession;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The bench page's server, on the loopback address, and on the shop's network where it is shared.
 * Serves the page, live events and commands; a test is started from the page, or shown by {@link
 * #follow}.
 */
public final class PageServer implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(PageServer.class);

  /** Open pages have this long to take what waits for them before the program ends [ms]. */
  private static final long GOODBYE_MILLIS = 500;

  private final WebFiles files = new WebFiles();
  private final Handbook handbook = new Handbook();
  private final LiveEvents events = new LiveEvents();
  private final ControlLease charge = new ControlLease(events::connected);
  private final OutletsShown outletsShown;
  private final Capture capture = new Capture(events);
  private final InUse lines = new InUse();
  private final BenchOfPage bench;
  private final TestStart start;
  private final Listening listening;
  private final UpkeepRunner tending;
  private final TryOut tryOut;
  private final Routes routes;
  private final Listener own;
  private final List<Listener> shared = new CopyOnWriteArrayList<>();
  private final ScheduledExecutorService beat;
  private final GuestDoor door = new GuestDoor(files, charge, capture);

  /**
   * Starts serving.
   *
   * @param port 0 for any that is free
   * @param data folder of tests and plans
   * @param benchFile of the bench in use; need not be there yet
   * @throws IOException when the port is taken
   */
  public static PageServer start(int port, Path data, Path benchFile, Drivers drivers)
      throws IOException {
    return start(port, data, benchFile, drivers, InstantSource.system());
  }

  /** The same, with the outlets of the bench, which are told of tests and shown. */
  public static PageServer start(
      int port, Path data, Path benchFile, Drivers drivers, Outlets outlets) throws IOException {
    return new PageServer(port, data, benchFile, drivers, InstantSource.system(), outlets);
  }

  /** The same, with a clock of one's own for what is learned of the bench. */
  static PageServer start(int port, Path data, Path benchFile, Drivers drivers, InstantSource clock)
      throws IOException {
    return new PageServer(port, data, benchFile, drivers, clock, Outlets.none());
  }

  private PageServer(
      int port, Path data, Path benchFile, Drivers drivers, InstantSource clock, Outlets outlets)
      throws IOException {
    outletsShown = new OutletsShown(outlets, events);
    Archive archive = new Archive(data);
    listening = new Listening(events, drivers);
    bench = new BenchOfPage(benchFile, data, drivers);
    start = new TestStart(bench, archive, capture, charge, drivers, listening, lines, outlets);
    tending =
        new UpkeepRunner(
            bench, archive.library(), drivers, clock, events, charge, listening, lines);
    tryOut = new TryOut(data, capture, charge, listening, lines);
    routes = routes(archive, drivers, new SetUpChoices(benchFile, drivers), clock);
    beat =
        Executors.newSingleThreadScheduledExecutor(
            work -> {
              Thread thread = new Thread(work, "page beat");
              thread.setDaemon(true);
              return thread;
            });
    own =
        new Listener(
            new InetSocketAddress(InetAddress.getByName("127.0.0.1"), port),
            Optional.empty(),
            new Serving());
    outlets.onChange(outletsShown::changed);
    outletsShown.changed(); // since before anyone listened
    beat.execute(this::foresee);
    beat.scheduleAtFixedRate(this::dropSlow, 2, 2, TimeUnit.SECONDS);
  }

  private Routes routes(Archive archive, Drivers drivers, SetUpChoices found, InstantSource clock) {
    CheckFirst check = new CheckFirst(bench, archive, charge, drivers, listening, lines);
    Commands commands = new Commands(capture, charge);
    ReportPages after = new ReportPages(archive);
    TestNotes notes = new TestNotes(archive, clock);
    FirstHearing firstHearing = new FirstHearing(bench.place(), charge, drivers, listening, lines);
    SetUp setUp = new SetUp(bench, archive, capture, charge, listening, lines);
    return new Routes()
        .light("GET /api/state", this::state)
        .light("POST /api/command", asked -> commands.take(asked.body()))
        .light("POST /api/check", asked -> check.take(asked.body()))
        .light("POST /api/start", asked -> start.take(asked.body()))
        .heavy("GET /api/tests", asked -> Response.json(archive.tests()))
        .heavy("GET /api/test-list", asked -> Response.json(archive.testList(asked)))
        .light("GET /api/plans", asked -> Response.json(archive.plans()))
        .light("GET /api/plan", asked -> Response.json(archive.plan(asked.needed("name"))))
        .heavy(
            "GET /api/plan-of-test",
            asked -> Response.json(archive.planOfTest(asked.needed("name"))))
        .heavy("GET /api/test", after::test)
        .heavy("GET /api/rung", asked -> RawRung.of(archive, asked))
        .heavy("GET /api/change", after::compare)
        .heavy("GET /report", after::report)
        .heavy("GET /chart", after::chart)
        .light("GET /api/bench", asked -> setUp.bench())
        .heavy("GET /api/found", asked -> Response.json(found.json()))
        .heavy("GET /calibration", asked -> setUp.calibration(asked.needed("sha256")))
        .heavy("GET /export", after::export)
        .heavy("GET /photo", notes::photoOf)
        .heavy("POST /api/photo", notes::photo)
        .heavy("POST /api/note", asked -> notes.take(asked.body()))
        .light("POST /api/bench", asked -> setUp.writeBench(asked.body()))
        .light("POST /api/moved-bench", asked -> setUp.moved(asked.body()))
        .light("POST /api/plates", asked -> setUp.writePlates(asked.body()))
        .light("POST /api/plan", asked -> setUp.writePlan(asked.body()))
        .light("POST /api/simulated-bench", asked -> setUp.simulated(asked.body()))
        .light("POST /api/try-out", asked -> tryOut.take(asked.body()))
        .light("POST /api/hear", asked -> firstHearing.take(asked.body()))
        .light("POST /api/listen", asked -> setUp.listen(asked.body()))
        .light("POST /api/upkeep", asked -> tending.take(asked.body()))
        .light("POST /api/guests", door::guests);
  }

  /** What a page asks for first takes long the first time: it is read while the browser starts. */
  private void foresee() {
    List.of("GET /api/state", "GET /api/plans", "GET /api/test-list").forEach(routes::foresee);
  }

  private void dropSlow() {
    events.dropSlow();
    own.dropStuck();
    shared.forEach(Listener::dropStuck);
  }

  /** Where the page is: {@code http://127.0.0.1:8765/}. */
  public URI address() {
    return own.address();
  }

  /**
   * Opens the page to the shop's network as well, for whoever types the code.
   *
   * @param at address of this computer there; IPv4
   * @param showCode is given the code, and a new one each time one has been used
   * @return where the page is on that network
   * @throws IOException when its port is taken there
   */
  public synchronized URI share(InetAddress at, Consumer<String> showCode) throws IOException {
    RemoteViewers let = door.open(own.address().getPort(), showCode);
    Listener there =
        new Listener(
            new InetSocketAddress(at, own.address().getPort()), Optional.of(let), new Serving());
    shared.add(there);
    if (shared.size() == 1) {
      let.open();
    }
    return there.address();
  }

  /**
   * Shows a test that was started elsewhere, such as by {@code record --page}; call before the
   * session runs. Commands of the page go to it.
   *
   * @param name of its folder
   */
  public void follow(String name, TestSession session, boolean handsFree) {
    lines.taken("a lift test");
    capture.follow(name, session, new LiveTest.Settings(handsFree, false));
  }

  /**
   * Says what the command in the terminal does while it runs no test; nothing can be begun from the
   * page meanwhile.
   */
  public void prepares(String what) {
    lines.taken("the command in the terminal");
    capture.prepares(what);
  }

  /** The followed test has ended. */
  public void ended(TestRecorder.Outcome outcome) {
    lines.free();
    capture.ended(outcome);
  }

  /** Number of pages that watch live. */
  public int viewers() {
    return events.counted().watching();
  }

  private Response state(Request asked) throws HttpError {
    String client = Client.checked(asked.one("client"));
    ObjectNode json = JsonOut.object();
    // Taken first: what happens while the rest is gathered is then told twice, never lost.
    json.put("event", events.id());
    json.put("in_charge", asked.mayCommand() && charge.isHolder(client));
    json.put("charge_held", !asked.mayCommand() || charge.isHeld());
    json.put("guest", asked.guest().isPresent()).put("may_command", asked.mayCommand());
    if (asked.guest().isEmpty()) {
      json.set("guests", door.json());
    }
    json.set("bench", bench.json());
    json.set("upkeep", tending.json());
    tryOut.addTo(json);
    json.set("outlets", outletsShown.json());
    LiveEvents.Count viewers = events.counted();
    json.putObject("viewers")
        .put("watching", viewers.watching())
        .put("states_missed", viewers.statesMissed())
        .put("let_go", viewers.letGo());
    capture.addTo(json);
    return Response.json(json);
  }

  // ------------------------------------------------------------------ requests

  /** Answers what comes in at any door. */
  private final class Serving implements Listener.Service {

    @Override
    public Response answer(Request asked) throws HttpError, IOException {
      if (asked.guests().isPresent()) {
        Optional<Response> at = door.at(asked, asked.guests().get());
        if (at.isPresent()) {
          return at.get();
        }
      }
      return routed(asked);
    }

    @Override
    public void live(HttpExchange exchange, Request asked)
        throws HttpError, IOException, InterruptedException {
      String client = Client.checked(asked.one("client"));
      String resumed = exchange.getRequestHeaders().getFirst("Last-Event-ID");
      String after = resumed == null ? asked.one("after").orElse("") : resumed;
      Viewer viewer =
          asked.guest().isPresent()
              ? events.joinAsGuest(client, after)
              : events.join(client, after);
      try {
        if (asked.mayCommand() && charge.opened(client)) {
          capture.changed();
        }
        exchange.getResponseHeaders().set("Content-Type", "text/event-stream; charset=utf-8");
        exchange.sendResponseHeaders(200, 0);
        viewer.serve(exchange.getResponseBody(), asked::stillWelcome);
      } finally {
        events.leave(viewer);
      }
    }
  }

  private Response routed(Request asked) throws HttpError {
    Optional<Response> answer = routes.answer(asked);
    if (answer.isPresent()) {
      return answer.get();
    }
    if (asked.way().startsWith("GET ")) {
      String path = asked.way().substring("GET ".length());
      return files
          .at(path)
          .or(() -> handbook.at(path))
          .orElseThrow(() -> HttpError.unknown("there is nothing here"));
    }
    throw HttpError.unknown("there is nothing here to be told");
  }

  /** Every open page is told that this is the end, not a lost connection, and how it ended. */
  private void sayGoodbye() {
    ObjectNode json = JsonOut.object();
    capture.addTo(json);
    events.tell("ended", json);
    events.endAll(GOODBYE_MILLIS);
  }

  @Override
  public void close() {
    start.close();
    tryOut.close();
    tending.close();
    listening.close();
    sayGoodbye();
    beat.shutdownNow();
    own.close();
    shared.forEach(Listener::close);
  }
}
