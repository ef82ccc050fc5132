package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.Socket;
import java.net.SocketException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.recorder.hostile.Onslaught;
import meniscus.recorder.hostile.Spoilt;
import meniscus.recorder.session.Drivers;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Requests that no browser sends: refused in words, and the next one is answered. */
class HostileRequestsTest {

  private static final long SEED = 20311130;
  private static final Pattern LENGTH = Pattern.compile("(?i)\r\ncontent-length: (\\d+)");

  @TempDir Path data;
  private PageServer page;
  private RawHttp http;

  @BeforeEach
  void serve() throws IOException {
    Files.writeString(data.resolve("bench.json"), BenchOfPage.text("bench.json"));
    page = PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped());
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
  void spoiltRequestsAtFullSize() throws Exception {
    spoil(Onslaught.FULL / 5, SEED + 1);
  }

  private void spoil(int cases, long seed) throws Exception {
    List<String> valid = requests();
    int[] asked = {0};
    int refused =
        Onslaught.run(
            "requests",
            cases,
            seed,
            random -> spoilt(valid.get(random.nextInt(valid.size())), random),
            request -> {
              String answer = answer(request);
              if (asked[0]++ % 250 == 0) {
                assertEquals(200, RawHttp.status(http.get("/api/state")), "the next is answered");
              }
              return checked(answer);
            });
    assertTrue(refused > cases / 4 && refused < cases, "refused: " + refused);
  }

  private List<String> requests() {
    List<String> all = new ArrayList<>();
    for (String path :
        List.of(
            "/",
            "/style.css",
            "/api/state?client=one",
            "/api/tests",
            "/api/plans",
            "/api/plan?name=plan.json",
            "/api/plan-of-test?name=before",
            "/api/test?name=before",
            "/api/rung?name=before&rung=3",
            "/api/change?before=a&after=b",
            "/report?name=before",
            "/api/bench",
            "/calibration?sha256=" + "0".repeat(64),
            "/api/live?client=one&after=00000000-1")) {
      all.add(http.head("GET " + path, "Origin: http://" + http.host()) + "\r\n");
    }
    all.add(post("/api/command", "{\"do\":\"note\",\"client\":\"one\",\"text\":\"x\"}"));
    all.add(post("/api/start", "{\"client\":\"one\",\"plan\":\"plan.json\",\"out\":\"before\"}"));
    all.add(post("/api/listen", "{\"client\":\"one\",\"on\":false}"));
    all.add(post("/api/guests", "{\"client\":\"one\",\"guest\":1,\"may_command\":true}"));
    all.add(post("/api/upkeep", "{\"client\":\"one\",\"do\":\"answer\",\"answer\":\"done\"}"));
    all.add(post("/api/plates", "{\"client\":\"one\",\"plates\":{\"meniscus\":\"plates/1\"}}"));
    all.add(post("/api/plan", "{\"client\":\"one\",\"name\":\"x.json\",\"plan\":{\"a\":1}}"));
    return all;
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
              valid.replaceFirst(
                  "\r\n", "\r\nX-Long: " + "x".repeat(1 + random.nextInt(400_000)) + "\r\n");
          case 1 -> valid.replaceFirst("\r\n", "\r\n" + "X: y\r\n".repeat(random.nextInt(400)));
          case 2 ->
              valid.replaceFirst(" HTTP", "/" + "a%2f".repeat(random.nextInt(20_000)) + " HTTP");
          case 3 ->
              valid.replaceFirst("(?i)content-length: \\d+", "Content-Length: " + length(random));
          case 4 -> valid.replaceFirst("(?i)content-length: \\d+", "Transfer-Encoding: chunked");
          case 5 -> valid + "x".repeat(random.nextInt(100_000));
          default -> valid;
        };
    return random.nextBoolean() || text.equals(valid)
        ? Spoilt.bytes(Spoilt.utf8(Spoilt.text(text, random)), random)
        : Spoilt.utf8(text);
  }

  private static String length(Random random) {
    return List.of("-1", "0", "1", "99999999999999999999", "2147483648", "0x10", "10, 11", "")
        .get(random.nextInt(8));
  }

  /** What comes back until the answer is whole or the server hangs up. */
  private String answer(byte[] request) throws IOException {
    try (Socket socket = new Socket(page.address().getHost(), page.address().getPort())) {
      // No port is left waiting for a minute after its connection: there would soon be none left.
      socket.setSoLinger(true, 0);
      socket.setSoTimeout(30_000);
      ByteArrayOutputStream got = new ByteArrayOutputStream();
      try {
        OutputStream out = socket.getOutputStream();
        out.write(request);
        out.flush();
        socket.shutdownOutput();
        InputStream in = socket.getInputStream();
        byte[] buffer = new byte[1 << 16];
        for (int count = in.read(buffer); count >= 0; count = in.read(buffer)) {
          got.write(buffer, 0, count);
          if (isWhole(got.toString(StandardCharsets.UTF_8))) {
            break;
          }
        }
      } catch (SocketException hungUp) {
        // As it may, on what it will not read to the end.
      }
      return got.toString(StandardCharsets.UTF_8);
    }
  }

  private static boolean isWhole(String answer) {
    int head = answer.indexOf("\r\n\r\n");
    if (head < 0) {
      return false;
    }
    Matcher length = LENGTH.matcher(answer.substring(0, head));
    return !length.find()
        || answer.substring(head + 4).getBytes(StandardCharsets.UTF_8).length
            >= Integer.parseInt(length.group(1));
  }

  /** The words of a refusal; empty for an answer. A request that is none gets no answer at all. */
  private static String checked(String answer) {
    if (answer.isEmpty()) {
      return "the server hung up";
    }
    assertTrue(answer.startsWith("HTTP/1.1 "), answer);
    int status = RawHttp.status(answer);
    assertTrue(status < 600 && status != 500, answer);
    assertFalse(answer.contains("\tat ") || answer.contains("java."), answer);
    return status < 400 ? "" : "refused with " + status;
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
