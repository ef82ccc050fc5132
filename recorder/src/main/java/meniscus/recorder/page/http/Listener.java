package meniscus.recorder.page.http;

import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.io.InterruptedIOException;
import java.io.OutputStream;
import java.net.InetSocketAddress;
import java.net.URI;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;

/**
 * One address that requests come in at, with connections, threads and guards of its own: however
 * many come in at the shop network's door, the bench's own stays open.
 */
public final class Listener implements AutoCloseable {

  /** An answer that is not taken within this time is broken off. */
  private static final long WRITE_NANOS = TimeUnit.SECONDS.toNanos(20);

  static {
    // Read by the JDK's server when it starts: the number of connections, how long a request may
    // take to arrive and a connection may idle [s], how often that is looked at [ms], and small
    // packets sent at once.
    setUnlessSet("jdk.httpserver.maxConnections", "64");
    setUnlessSet("sun.net.httpserver.maxReqTime", "10");
    setUnlessSet("sun.net.httpserver.idleInterval", "10");
    setUnlessSet("sun.net.httpserver.clockTick", "2000");
    setUnlessSet("sun.net.httpserver.nodelay", "true");
  }

  private final HttpServer server;
  private final RequestGuard guard;
  private final Optional<RemoteViewers> guests;
  private final Service service;
  private final ExecutorService threads;
  private final Map<Thread, Long> writing = new ConcurrentHashMap<>();

  /** What answers requests that passed the guard. */
  public interface Service {

    Response answer(Request asked) throws HttpError, IOException;

    /** Serves events until the viewer is gone. */
    void live(HttpExchange exchange, Request asked)
        throws HttpError, IOException, InterruptedException;
  }

  /**
   * @param guests who is let in by code; empty at the bench's own door, where nobody is asked
   * @throws IOException when the port is taken
   */
  public Listener(InetSocketAddress at, Optional<RemoteViewers> guests, Service service)
      throws IOException {
    this.server = HttpServer.create(at, 64);
    this.guests = guests;
    this.guard =
        guests.isPresent()
            ? RequestGuard.at(server.getAddress())
            : RequestGuard.loopback(server.getAddress().getPort());
    this.service = service;
    AtomicInteger number = new AtomicInteger();
    this.threads =
        Executors.newCachedThreadPool(
            work -> {
              Thread thread = new Thread(work, "page " + number.incrementAndGet());
              thread.setDaemon(true);
              return thread;
            });
    server.setExecutor(threads);
    server.createContext("/", this::handle);
    server.start();
  }

  private static void setUnlessSet(String property, String value) {
    if (System.getProperty(property) == null) {
      System.setProperty(property, value);
    }
  }

  public URI address() {
    InetSocketAddress at = server.getAddress();
    return URI.create("http://" + at.getAddress().getHostAddress() + ":" + at.getPort() + "/");
  }

  /** Breaks off answers that nobody takes; call now and then. */
  public void dropStuck() {
    long now = System.nanoTime();
    writing.forEach(
        (thread, since) -> {
          if (now - since > WRITE_NANOS) {
            thread.interrupt();
          }
        });
  }

  /**
   * @throws IOException when the client went away. It must reach the JDK's server: that alone lets
   *     go of the place that the connection has among those allowed, which closing the exchange
   *     does not.
   */
  private void handle(HttpExchange exchange) throws IOException {
    try (exchange) {
      RequestGuard.protect(exchange.getResponseHeaders());
      try {
        guard.check(exchange.getRequestHeaders());
        Request asked = Request.read(exchange, guests);
        if (exchange.getRequestMethod().equals("HEAD")) {
          throw HttpError.wrong("ask with GET");
        } else if (asked.way().equals("GET /api/live") && asked.letIn()) {
          service.live(exchange, asked);
          exchange.getResponseBody().close();
        } else {
          send(exchange, service.answer(asked));
        }
      } catch (HttpError e) {
        // Nothing that came behind a refused request is taken for the next one.
        exchange.getResponseHeaders().set("Connection", "close");
        send(exchange, Response.error(e.status(), e.getMessage()));
      }
    } catch (InterruptedException e) {
      throw new InterruptedIOException("a viewer was dropped");
    }
  }

  private void send(HttpExchange exchange, Response answer) throws IOException {
    answer.headers().forEach(exchange.getResponseHeaders()::set);
    if (exchange.getRequestMethod().equals("HEAD")) {
      // The JDK's server complains in the terminal when told of a body that HEAD does not have.
      exchange.sendResponseHeaders(answer.status(), -1);
      return;
    }
    writing.put(Thread.currentThread(), System.nanoTime());
    try {
      exchange.sendResponseHeaders(answer.status(), answer.body().length);
      try (OutputStream out = exchange.getResponseBody()) {
        out.write(answer.body());
      }
    } finally {
      writing.remove(Thread.currentThread());
      // A late interrupt must not hit whatever this thread does next.
      Thread.interrupted();
    }
  }

  @Override
  public void close() {
    server.stop(0);
    threads.shutdownNow();
  }
}
