package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.Deadline;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.hostile.Onslaught;
import meniscus.recorder.hostile.Spoilt;
import meniscus.recorder.page.bench.BenchOfPage;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Requests that no browser sends: refused in words, and the next one is answered. */
@Tag("long")
class HostileRequestsTest {

  private static final long SEED = 20311130;
  private static final String CLIENT = "a-page-of-nobody";
  private static final String PLATE =
      "{'name':'20','bore':'20 mm','coefficient':{'value':0.6,'standard_uncertainty':'0.5 %'}}";
  private static final Pattern LENGTH = Pattern.compile("(?i)\r\ncontent-length: (\\d+)");

  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path data;
  private final byte[] buffer = new byte[1 << 16];
  private PageServer page;
  private InetSocketAddress server;
  private RawHttp http;

  @BeforeEach
  void serve() throws IOException {
    Files.writeString(data.resolve("bench.json"), BenchOfPage.text("bench.json"));
    Files.writeString(data.resolve("ladder.json"), BenchOfPage.text("plan.json"));
    page = PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped());
    server = new InetSocketAddress(page.address().getHost(), page.address().getPort());
    http = new RawHttp(page);
  }

  @AfterEach
  void close() {
    page.close();
  }

  @Test
  void spoiltRequests() throws Exception {
    spoil(2_000, SEED);
  }

  @Test
  @Tag("bench")
  void aMillionSpoiltRequests() throws Exception {
    spoil(Onslaught.FULL, SEED + 1);
  }

  private void spoil(int cases, long seed) throws Exception {
    List<String> valid = requests();
    int[] asked = {0};
    byte[] ordinary = Spoilt.utf8(http.head("GET /api/state") + "\r\n");
    int refused =
        Onslaught.run(
            "requests",
            cases,
            seed,
            random -> spoilt(valid.get(random.nextInt(valid.size())), random),
            request -> {
              String answer = answer(request);
              if (asked[0]++ % 250 == 0) {
                assertEquals(200, RawHttp.status(answer(ordinary)), "the next is answered");
              }
              return checked(answer);
            },
            Optional.of(new PageThreads()));
    assertTrue(refused > cases / 4 && refused < cases, "refused: " + refused);
  }

  private List<String> requests() {
    List<String> all = new ArrayList<>();
    for (String path :
        List.of(
            "/",
            "/style.css",
            "/api/state?client=" + CLIENT,
            "/api/tests",
            "/api/plans",
            "/api/plan?name=ladder.json",
            "/api/plan-of-test?name=before",
            "/api/test?name=before",
            "/api/rung?name=before&rung=3",
            "/api/change?before=a&after=b",
            "/report?name=before",
            "/api/bench",
            "/calibration?sha256=" + "0".repeat(64),
            "/api/live?client=" + CLIENT + "&after=00000000-1")) {
      all.add(http.head("GET " + path, "Origin: http://" + http.host()) + "\r\n");
    }
    all.add(asked("/api/command", "'do':'note','text':'x'"));
    all.add(asked("/api/start", "'plan':'plan.json','out':'before'"));
    all.add(asked("/api/listen", "'blower':false"));
    all.add(asked("/api/guests", "'guest':1,'may_command':true"));
    all.add(asked("/api/upkeep", "'do':'answer','answer':'done'"));
    all.add(asked("/api/plates", "'plates':[" + PLATE + "]"));
    all.add(asked("/api/plan", "'name':'x.json','plan':{'a':1}"));
    return all;
  }

  private String asked(String path, String members) {
    return post(path, ("{'client':'" + CLIENT + "'," + members + "}").replace('\'', '"'));
  }

  private String post(String path, String body) {
    String head =
        http.head(
            "POST " + path,
            "Content-Type: application/json",
            "Content-Length: " + Spoilt.utf8(body).length);
    return head + "\r\n" + body;
  }

  private byte[] spoilt(String valid, Random random) {
    int body = valid.indexOf("\r\n\r\n{");
    return body > 0 && random.nextInt(3) > 0
        ? Spoilt.utf8(post(path(valid), Spoilt.json(valid.substring(body + 4), random)))
        : spoiltAnywhere(valid, random);
  }

  private static String path(String request) {
    return request.split(" ", 3)[1];
  }

  private static byte[] spoiltAnywhere(String valid, Random random) {
    String text =
        switch (random.nextInt(8)) {
          case 0 ->
              withHeaders(valid, "X-Long: x" + "x".repeat(Spoilt.size(400_000, random)) + "\r\n");
          case 1 -> withHeaders(valid, "X: y\r\n".repeat(random.nextInt(400)));
          case 2 -> {
            int end = valid.indexOf(" HTTP");
            String longer = "/" + "a%2f".repeat(Spoilt.size(20_000, random));
            yield valid.substring(0, end) + longer + valid.substring(end);
          }
          case 3 ->
              valid.replaceFirst("(?i)content-length: \\d+", "Content-Length: " + length(random));
          case 4 -> valid.replaceFirst("(?i)content-length: \\d+", "Transfer-Encoding: chunked");
          case 5 -> valid + "x".repeat(Spoilt.size(100_000, random));
          default -> valid;
        };
    return random.nextBoolean() || text.equals(valid)
        ? Spoilt.bytes(Spoilt.utf8(Spoilt.text(text, random)), random)
        : Spoilt.utf8(text);
  }

  private static String withHeaders(String valid, String more) {
    int at = valid.indexOf("\r\n") + 2;
    return valid.substring(0, at) + more + valid.substring(at);
  }

  private static String length(Random random) {
    return List.of("-1", "0", "1", "99999999999999999999", "2147483648", "0x10", "10, 11", "")
        .get(random.nextInt(8));
  }

  /** What comes back until the answer is whole or the server hangs up. */
  private String answer(byte[] request) throws IOException {
    try (Socket socket = new Socket(server.getAddress(), server.getPort())) {
      // No port is left waiting for a minute after its connection: there would soon be none left.
      socket.setSoLinger(true, 0);
      ByteArrayOutputStream got = new ByteArrayOutputStream();
      try {
        OutputStream out = socket.getOutputStream();
        out.write(request);
        out.flush();
        socket.shutdownOutput();
        InputStream in = socket.getInputStream();
        for (int count = in.read(buffer); count >= 0; count = in.read(buffer)) {
          got.write(buffer, 0, count);
          if (isWhole(got)) {
            break;
          }
        }
      } catch (SocketException hungUp) {
        // As it may, on what it will not read to the end.
      }
      return got.toString(StandardCharsets.UTF_8);
    }
  }

  private static boolean isWhole(ByteArrayOutputStream answer) {
    String bytes = answer.toString(StandardCharsets.ISO_8859_1);
    int head = bytes.indexOf("\r\n\r\n");
    if (head < 0) {
      return false;
    }
    Matcher length = LENGTH.matcher(bytes.substring(0, head));
    return !length.find() || bytes.length() - head - 4 >= Integer.parseInt(length.group(1));
  }

  /** The words of a refusal; empty for an answer. A request that is none gets no answer at all. */
  private static String checked(String answer) throws IOException {
    if (answer.isEmpty()) {
      return "the server hung up";
    }
    assertTrue(answer.startsWith("HTTP/1.1 "), answer);
    int status = RawHttp.status(answer);
    assertTrue(status < 600 && status != 500, answer);
    assertFalse(answer.contains("\tat ") || answer.contains("java."), answer);
    if (status < 400) {
      return "";
    }
    String body = answer.substring(answer.indexOf("\r\n\r\n") + 4);
    // What is no request at all the JDK's server refuses by itself, in a line of HTML.
    return body.startsWith("{")
        ? JSON.readTree(body).path("error").asText()
        : "refused with " + status;
  }

  /** Each has a second request in what may be taken for its body (RFC 9112, 11.2). */
  @Test
  void noRequestHidesInAnother() throws Exception {
    String hidden = asked("/api/command", "'do':'take'");
    String chunked = "0\r\n\r\n" + hidden;
    for (String headers :
        List.of(
            "Content-Length: 4\r\nTransfer-Encoding: chunked",
            "Transfer-Encoding: chunked\r\nContent-Length: " + chunked.length(),
            "Transfer-Encoding: identity\r\nContent-Length: 5",
            "Transfer-Encoding: xchunked",
            "Transfer-Encoding:\tchunked",
            "Transfer-Encoding: chunked, identity\r\nContent-Length: 5",
            "X: y\r\n Transfer-Encoding: chunked\r\nTransfer-Encoding:\r\n chunked",
            "Content-Length: 5\r\nContent-Length: " + chunked.length(),
            "Content-Length: " + chunked.length() + "\r\nContent-length: 5",
            "Content-Length: 5, 5",
            "Content-Length: -1",
            "Content-Length: +5",
            "Content-Length: 0x5",
            "Content-Length: 99999999999999999999")) {
      String request =
          http.head("POST /api/command", "Content-Type: application/json")
              .replace("Connection: close\r\n", "");
      for (String body :
          List.of(
              chunked,
              "-1\r\n" + chunked,
              "7fffffffffffffff\r\n" + chunked,
              "5;x=\"" + "y".repeat(9_000) + "\"\r\nhello\r\n" + chunked)) {
        String answer = answered(request + headers + "\r\n\r\n" + body);
        assertTrue(answer.split("HTTP/1.1 ", -1).length <= 2, headers + ": " + answer);
        assertTrue(answer.isEmpty() || RawHttp.status(answer) >= 400, headers + ": " + answer);
      }
    }
    String state = http.get("/api/state?client=" + CLIENT);
    assertTrue(state.contains("\"in_charge\":false"), state);
  }

  /** All that comes until the server hangs up, which it does. */
  private String answered(String request) throws IOException {
    ByteArrayOutputStream got = new ByteArrayOutputStream();
    try (Socket socket = http.open(request)) {
      socket.getInputStream().transferTo(got);
    } catch (SocketException hungUp) {
      // On what it had not read.
    }
    return got.toString(StandardCharsets.UTF_8);
  }

  @Test
  void liveEventsGoToSoManyAndNoMoreAndAPlaceIsFreeWhenOneHasGone() throws Exception {
    List<Socket> viewers = new ArrayList<>();
    int refused = 0;
    for (int i = 0; i < 40; i++) {
      Socket viewer = http.open(http.head("GET /api/live?client=viewer-number-" + i) + "\r\n");
      if (i % 2 == 0) {
        viewer.shutdownOutput(); // Says nothing more, and goes on listening.
      }
      String head = RawHttp.readUntil(viewer, "\r\n\r\n");
      refused += RawHttp.status(head) == 503 ? 1 : 0;
      viewers.add(viewer);
    }
    assertEquals(16, refused, "24 watch");
    assertEquals(200, RawHttp.status(http.get("/api/state")), "and all others are answered");
    for (Socket each : viewers) {
      each.close();
    }
    long until = System.nanoTime() + 60_000_000_000L;
    for (int i = 0; page.viewers() > 0 && System.nanoTime() < until; i++) {
      http.post("/api/command", "{\"do\":\"take\",\"client\":\"in-charge-now-" + i + "\"}");
    }
    assertEquals(0, page.viewers(), "all have gone");
  }

  @Test
  void whoeverDribblesARequestHoldsUpNobody() throws Exception {
    List<Socket> slow = new ArrayList<>();
    for (int i = 0; i < 40; i++) {
      slow.add(http.open("GET /api/state HTTP/1.1\r\nHost: " + http.host() + "\r\nX: "));
    }
    for (int round = 0; round < 5; round++) {
      for (Socket each : slow) {
        each.getOutputStream().write('x');
      }
      assertEquals(200, RawHttp.status(http.get("/api/state")));
    }
    for (Socket each : slow) {
      assertEquals(-1, readOrHungUp(each), "let go unanswered");
      each.close();
    }
  }

  private static int readOrHungUp(Socket socket) throws IOException {
    try {
      return socket.getInputStream().read();
    } catch (SocketException hungUp) {
      return -1;
    }
  }

  @Test
  void viewersThatHangUpRudelyLeaveNoPlaceTaken() throws Exception {
    // More than there is room for at once.
    for (int i = 0; i < 80; i++) {
      Socket viewer = http.open(http.head("GET /api/live?client=viewer-number-" + i) + "\r\n");
      viewer.setSoLinger(true, 0);
      RawHttp.readUntil(viewer, "retry");
      viewer.close();
      // Something to tell it: only now its going is noticed.
      http.post("/api/command", "{\"do\":\"take\",\"client\":\"in-charge-now-" + i + "\"}");
      Deadline deadline = Deadline.of("viewer " + i + " is missed");
      while (page.viewers() > 0) {
        deadline.pause(5);
      }
    }
    assertEquals(200, RawHttp.status(http.get("/api/state")));
  }

  @Test
  void moreConnectionsThanThereIsRoomForPassByThemselves() throws Exception {
    List<Socket> flood = new ArrayList<>();
    for (int i = 0; i < 200; i++) {
      flood.add(http.open("POST /api/command HTTP/1.1\r\nHost: " + http.host() + "\r\n"));
    }
    long until = System.nanoTime() + 60_000_000_000L;
    boolean answered = false;
    while (!answered && System.nanoTime() < until) {
      try {
        answered = RawHttp.status(http.get("/api/state")) == 200;
      } catch (IOException | ArrayIndexOutOfBoundsException full) {
        Thread.sleep(200);
      }
    }
    assertTrue(answered, "those that never finish are let go");
    for (Socket each : flood) {
      each.close();
    }
  }
}
