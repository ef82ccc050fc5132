package meniscus.recorder.page;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.nio.file.Path;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.folder.BadTestFolder;
import meniscus.recorder.session.Drivers;
import meniscus.recorder.session.TestRecorder;
import meniscus.recorder.session.TestSession;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The bench page's server, on the loopback address. Serves the page, live events and commands; a
 * test is started from the page, or shown by {@link #follow}.
 */
public final class PageServer implements AutoCloseable {

  private static final Logger LOG = LoggerFactory.getLogger(PageServer.class);

  static {
    // Read by the JDK's server when it starts: the number of connections, how long a request may
    // take to arrive [s], and small packets sent at once.
    setUnlessSet("jdk.httpserver.maxConnections", "64");
    setUnlessSet("sun.net.httpserver.maxReqTime", "20");
    setUnlessSet("sun.net.httpserver.nodelay", "true");
  }

  private final HttpServer server;
  private final Guard guard;
  private final WebFiles files = new WebFiles();
  private final LiveEvents events = new LiveEvents();
  private final Charge charge = new Charge(events::connected);
  private final Capture capture = new Capture(events);
  private final BenchOfPage bench;
  private final TestStart start;
  private final Listening listening;
  private final Map<String, Route> routes;
  private final ExecutorService threads;
  private final ScheduledExecutorService beat;

  /** How one way is answered. */
  @FunctionalInterface
  private interface Route {
    Answer answer(Asked asked) throws Refused, IOException;
  }

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
    PageServer page = new PageServer(port, data, benchFile, drivers);
    page.server.start();
    return page;
  }

  private PageServer(int port, Path data, Path benchFile, Drivers drivers) throws IOException {
    server = HttpServer.create(new InetSocketAddress(InetAddress.getByName("127.0.0.1"), port), 64);
    guard = new Guard(server.getAddress().getPort());
    Archive archive = new Archive(data);
    listening = new Listening(events, drivers);
    bench = new BenchOfPage(benchFile, data, drivers);
    start = new TestStart(bench, archive, capture, charge, drivers, listening);
    Commands commands = new Commands(capture, charge);
    After after = new After(archive);
    routes =
        Map.ofEntries(
            Map.entry("GET /api/state", this::state),
            Map.entry("POST /api/command", asked -> commands.take(asked.body())),
            Map.entry("POST /api/start", asked -> start.take(asked.body())),
            Map.entry("GET /api/tests", asked -> Answer.json(archive.tests())),
            Map.entry("GET /api/plans", asked -> Answer.json(archive.plans())),
            Map.entry("GET /api/test", asked -> test(archive, after, asked.needed("name"))),
            Map.entry("GET /api/rung", asked -> rung(archive, asked)),
            Map.entry("GET /api/change", after::compare),
            Map.entry("GET /report", after::report),
            Map.entry("POST /api/listen", asked -> listen()),
            Map.entry("POST /api/plan", asked -> plan(archive, asked.body())),
            Map.entry("POST /api/simulated-bench", asked -> simulatedBench()));
    AtomicInteger number = new AtomicInteger();
    threads =
        Executors.newCachedThreadPool(work -> daemon(work, "page " + number.incrementAndGet()));
    beat = Executors.newSingleThreadScheduledExecutor(work -> daemon(work, "page beat"));
    beat.scheduleAtFixedRate(events::dropSlow, 2, 2, TimeUnit.SECONDS);
    server.setExecutor(threads);
    server.createContext("/", this::handle);
  }

  private static Thread daemon(Runnable work, String name) {
    Thread thread = new Thread(work, name);
    thread.setDaemon(true);
    return thread;
  }

  private static void setUnlessSet(String property, String value) {
    if (System.getProperty(property) == null) {
      System.setProperty(property, value);
    }
  }

  /** Where the page is: {@code http://127.0.0.1:8765/}. */
  public URI address() {
    return URI.create("http://127.0.0.1:" + server.getAddress().getPort() + "/");
  }

  /**
   * Shows a test that was started elsewhere, such as by {@code record --page}; call before the
   * session runs. Commands of the page go to it.
   *
   * @param name of its folder
   */
  public void follow(String name, TestSession session, boolean handsFree) {
    capture.follow(name, session, new Running.Settings(handsFree, false));
  }

  /** The followed test has ended. */
  public void ended(TestRecorder.Outcome outcome) {
    capture.ended(outcome);
  }

  /** Number of pages that watch live. */
  public int viewers() {
    return events.count();
  }

  private Answer state(Asked asked) throws Refused {
    String client = Client.checked(asked.one("client"));
    ObjectNode json = Showing.object();
    // Taken first: what happens while the rest is gathered is then told twice, never lost.
    json.put("event", events.id());
    json.put("in_charge", charge.isHolder(client)).put("charge_held", charge.isHeld());
    json.set("bench", bench.json());
    capture.addTo(json);
    return Answer.json(json);
  }

  private static Answer test(Archive archive, After after, String name)
      throws Refused, IOException {
    ObjectNode json = archive.test(name);
    json.set("findings", after.findings(name));
    return Answer.json(json);
  }

  private static Answer rung(Archive archive, Asked asked) throws Refused, IOException {
    String rung = asked.needed("rung");
    if (!rung.matches("\\d{1,4}")) {
      throw Refused.wrong("\"rung\" is a number");
    }
    return Answer.json(RawRung.of(archive.open(asked.needed("name")), Integer.parseInt(rung)));
  }

  private Answer listen() throws Refused {
    if (capture.running().isPresent()) {
      throw Refused.notNow("a test is running: its readings are on the capture page");
    }
    try {
      listening.start(bench.file());
    } catch (IllegalArgumentException e) {
      throw Refused.wrong(String.valueOf(e.getMessage()));
    }
    return Answer.json(Showing.object().put("listening", true));
  }

  private Answer plan(Archive archive, byte[] body) throws Refused, IOException {
    JsonIn in = JsonIn.read(body, Set.of("name", "plan", "replace"));
    String name = in.text("name");
    JsonNode plan = in.any("plan").orElseThrow(() -> Refused.wrong("\"plan\" is missing"));
    archive.writePlan(name, plan.toString(), in.flag("replace"));
    capture.changed();
    return Answer.json(Showing.object().put("written", name));
  }

  private Answer simulatedBench() throws Refused, IOException {
    bench.writeSimulated();
    capture.changed();
    return Answer.json(bench.json());
  }

  // ------------------------------------------------------------------ requests

  private void handle(HttpExchange exchange) {
    try (exchange) {
      Guard.protect(exchange.getResponseHeaders());
      try {
        guard.check(exchange.getRequestHeaders());
        Asked asked = Asked.read(exchange);
        if (asked.way().equals("GET /api/live")) {
          live(exchange, asked);
        } else {
          send(exchange, answer(asked));
        }
      } catch (Refused e) {
        send(exchange, error(e.status(), e.getMessage()));
      }
    } catch (IOException gone) {
      LOG.debug("a client went away", gone);
    } catch (InterruptedException e) {
      LOG.debug("a viewer was dropped");
    }
  }

  private Answer answer(Asked asked) throws Refused, IOException {
    Route route = routes.get(asked.way());
    try {
      if (route != null) {
        return route.answer(asked);
      }
    } catch (BadTestFolder | FileNotAccepted e) {
      return error(422, e.getMessage());
    } catch (IOException e) {
      return error(500, e.getMessage());
    } catch (RuntimeException e) {
      LOG.warn("{} failed", asked.way(), e);
      return error(500, "a fault in the program: " + e);
    }
    if (asked.way().startsWith("GET ")) {
      return files
          .at(asked.way().substring("GET ".length()))
          .orElseThrow(() -> Refused.unknown("there is nothing here"));
    }
    throw Refused.unknown("there is nothing here to be told");
  }

  private void live(HttpExchange exchange, Asked asked)
      throws Refused, IOException, InterruptedException {
    String client = Client.checked(asked.one("client"));
    String resumed = exchange.getRequestHeaders().getFirst("Last-Event-ID");
    Viewer viewer = events.join(client, resumed == null ? asked.one("after").orElse("") : resumed);
    try {
      if (charge.opened(client)) {
        capture.changed();
      }
      exchange.getResponseHeaders().set("Content-Type", "text/event-stream; charset=utf-8");
      exchange.sendResponseHeaders(200, 0);
      viewer.serve(exchange.getResponseBody());
    } finally {
      events.leave(viewer);
    }
  }

  private static Answer error(int status, String message) {
    return Answer.json(status, Showing.object().put("error", String.valueOf(message)));
  }

  private static void send(HttpExchange exchange, Answer answer) throws IOException {
    exchange.getResponseHeaders().set("Content-Type", answer.type());
    answer
        .policy()
        .ifPresent(policy -> exchange.getResponseHeaders().set("Content-Security-Policy", policy));
    exchange.sendResponseHeaders(answer.status(), answer.body().length);
    try (OutputStream out = exchange.getResponseBody()) {
      out.write(answer.body());
    }
  }

  @Override
  public void close() {
    start.close();
    listening.close();
    events.dropAll();
    beat.shutdownNow();
    server.stop(0);
    threads.shutdownNow();
  }
}
