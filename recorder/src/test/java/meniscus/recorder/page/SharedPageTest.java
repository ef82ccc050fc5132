package meniscus.recorder.page;

import static meniscus.recorder.page.RawHttp.status;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicReference;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.Needed;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.page.http.LiveEvents;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The door to the shop's network, at 127.0.0.2, which stands for an address of that network: which
 * door a request came in at decides what may be done, not where it came from.
 */
@Tag("long")
class SharedPageTest {

  private static final String KEEP = "{\"do\":\"keep\"}";
  private static final String TAKE = "{\"do\":\"take\",\"client\":\"guests-page\"}";

  @TempDir Path data;
  private final AtomicReference<String> code = new AtomicReference<>();
  private PageServer page;
  private RawHttp own;
  private RawHttp shop;

  @BeforeEach
  void share() throws IOException {
    page = PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped());
    own = new RawHttp(page);
    try {
      shop = new RawHttp(page.share(InetAddress.getByName("127.0.0.2"), code::set));
    } catch (IOException e) {
      Needed.that(false, "no second loopback address here: " + e.getMessage());
    }
  }

  @AfterEach
  void close() {
    page.close();
  }

  /** The cookie header of a guest who typed the right code. */
  private String letIn() throws IOException {
    String answer = shop.post("/api/code", "{\"code\":\"" + code.get() + "\"}");
    assertEquals(200, status(answer), answer);
    Matcher cookie = Pattern.compile("(?i)set-cookie: (meniscus-\\d+=\\w+)(.*)\r").matcher(answer);
    assertTrue(cookie.find(), answer);
    assertTrue(cookie.group(2).contains("HttpOnly"), answer);
    assertTrue(cookie.group(2).contains("SameSite=Strict"), answer);
    return "Cookie: " + cookie.group(1);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"/api/state", "/api/live", "/api/tests", "/main.js", "/report?test=a", "/index"})
  void withoutACodeNothingIsShown(String path) throws IOException {
    assertEquals(401, status(shop.get(path)));
    assertEquals(
        401,
        status(
            shop.get(path, "Cookie: meniscus-" + page.address().getPort() + "=" + "0".repeat(64))));
  }

  @Test
  void withoutACodeThereIsThePageThatAsksForIt() throws IOException {
    String answer = shop.get("/");
    assertEquals(200, status(answer));
    assertTrue(answer.contains("code-form"), answer);
    assertFalse(answer.contains("main.js"), answer);
    assertEquals(200, status(shop.get("/code.js")));
    assertEquals(401, status(shop.post("/api/command", KEEP)));
  }

  @Test
  void atTheBenchNobodyIsAsked() throws IOException {
    assertEquals(200, status(own.get("/api/state")));
    assertTrue(own.get("/").contains("main.js"));
  }

  @Test
  void guessingCodesIsStopped() throws IOException {
    for (int i = 0; i < 5; i++) {
      assertEquals(403, status(shop.post("/api/code", "{\"code\":\"2222-222" + (2 + i) + "\"}")));
    }
    assertEquals(429, status(shop.post("/api/code", "{\"code\":\"" + code.get() + "\"}")));
  }

  @Test
  void guestsWatchUntilTheyAreGivenCharge() throws IOException {
    String cookie = letIn();
    String state = shop.get("/api/state", cookie);
    assertEquals(200, status(state));
    assertTrue(state.contains("\"may_command\":false"), state);
    assertTrue(shop.get("/", cookie).contains("main.js"));
    for (String way :
        List.of("/api/start", "/api/bench", "/api/listen", "/api/upkeep", "/api/plan")) {
      assertEquals(403, status(shop.post(way, "{}", cookie)), way);
    }
    assertEquals(403, status(shop.post("/api/command", KEEP, cookie)));
    assertEquals(202, status(shop.post("/api/command", TAKE, cookie)), "asked for");
    assertEquals(403, status(shop.post("/api/command", KEEP, cookie)), "asking gives nothing");
    String allow = "{\"guest\":1,\"may_command\":true}";
    assertEquals(403, status(shop.post("/api/guests", allow, cookie)), "not by themselves");

    assertTrue(own.get("/api/state").contains("\"asks\":true"));
    assertEquals(200, status(own.post("/api/guests", allow)));
    assertEquals(403, status(shop.post("/api/guests", allow, cookie)), "nor for others");
    assertEquals(200, status(shop.post("/api/command", TAKE, cookie)));
    assertEquals(409, status(shop.post("/api/command", KEEP, cookie)), "nothing runs");

    String takenBack = "{\"client\":\"benchs-page\",\"guest\":1,\"may_command\":false}";
    assertEquals(200, status(own.post("/api/guests", takenBack)));
    assertEquals(403, status(shop.post("/api/command", KEEP, cookie)), "taken back");
    assertTrue(
        own.get("/api/state?client=benchs-page").contains("\"in_charge\":true"),
        "by the page at the bench that now is in charge");
  }

  @Test
  void thisDoorAnswersToItsOwnAddressOnly() throws IOException {
    String port = shop.host().split(":")[1];
    for (String host : List.of("evil.example", "localhost:" + port, "127.0.0.1:" + port)) {
      assertEquals(421, status(shop.get("/", "Host: " + host)), host);
    }
    assertEquals(421, status(own.get("/", "Host: 127.0.0.2:" + port)));
    String cookie = letIn();
    for (String origin : List.of("http://evil.example", "null", "http://127.0.0.1:" + port)) {
      assertEquals(
          403, status(shop.post("/api/command", TAKE, cookie, "Origin: " + origin)), origin);
    }
    String site = "Sec-Fetch-Site: cross-site";
    assertEquals(403, status(shop.post("/api/code", "{\"code\":\"x\"}", site)));
  }

  @Test
  void aFloodAtThisDoorLeavesTheBenchsOwnOpenAndIsOverSoon() throws IOException {
    List<Socket> flood = new ArrayList<>();
    for (int i = 0; i < 100; i++) {
      // Some say nothing, some never finish their headers, some never send their body.
      String begun =
          i % 3 == 0
              ? ""
              : i % 3 == 1
                  ? "GET / HTTP/1.1\r\nHost: " + shop.host() + "\r\nX-Slow: "
                  : shop.head("POST /api/code", "Content-Type: application/json")
                      + "Content-Length: 60000\r\n\r\n{";
      flood.add(shop.open(begun));
    }
    assertEquals(200, status(own.get("/api/state")), "nobody waits at the bench");
    for (Socket slow : flood) {
      slow.setSoTimeout(120_000);
      drain(slow);
    }
    assertEquals(200, status(shop.get("/")), "the door is open again");
  }

  /** Reads until the other side has closed, as it must. */
  private static void drain(Socket socket) throws IOException {
    try (socket) {
      byte[] buffer = new byte[1024];
      while (socket.getInputStream().read(buffer) >= 0) {
        // An error page, perhaps.
      }
    } catch (java.net.SocketException reset) {
      // Closed the hard way.
    }
  }

  @Test
  void guestsNeverTakeTheBenchsPlaces() throws IOException {
    String cookie = letIn();
    List<Socket> viewers = new ArrayList<>();
    for (int i = 0; i < LiveEvents.MOST_GUESTS; i++) {
      Socket viewer = shop.open(shop.head("GET /api/live", cookie) + "\r\n");
      RawHttp.readUntil(viewer, "retry");
      viewers.add(viewer);
    }
    assertEquals(503, status(shop.get("/api/live", cookie)));
    Socket here = own.open(own.head("GET /api/live") + "\r\n");
    RawHttp.readUntil(here, "retry");
    viewers.add(here);
    for (Socket viewer : viewers) {
      viewer.close();
    }
  }
}
