package meniscus.recorder.page;

import static meniscus.recorder.page.RawHttp.status;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.page.http.LiveEvents;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Who may ask the page's server what. */
class PageServerTest {

  private static final String KEEP = "{\"do\":\"keep\"}";

  @TempDir Path data;
  private PageServer page;
  private RawHttp http;

  @BeforeEach
  void serve() throws IOException {
    page = PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped());
    http = new RawHttp(page);
  }

  @AfterEach
  void close() {
    page.close();
  }

  @Test
  void thePageComesWithAPolicyThatLetsNothingElseIn() throws IOException {
    String answer = http.get("/");
    assertEquals(200, status(answer));
    String head = answer.split("\r\n\r\n", 2)[0].toLowerCase(Locale.ROOT);
    assertTrue(head.contains("content-security-policy: default-src 'none'"), head);
    assertFalse(head.contains("unsafe"), head);
    assertTrue(head.contains("x-content-type-options: nosniff"), head);
    assertTrue(head.contains("frame-ancestors 'none'"), head);
    assertFalse(head.contains("access-control-allow-origin"), head);
    assertFalse(head.contains("server:"), head);
    assertFalse(answer.contains("http://www"), "nothing is fetched from elsewhere");
  }

  /** One after the other, each module would wait for the one that names it. */
  @Test
  void allModulesOfThePageAreAskedForAtOnce() throws IOException {
    String html = http.get("/");
    Matcher module = Pattern.compile("modulepreload\" href=\"(/[a-z-]+\\.js)\"").matcher(html);
    Set<String> ahead = new TreeSet<>(Set.of("/main.js"));
    while (module.find()) {
      ahead.add(module.group(1));
    }
    Set<String> imported = new TreeSet<>(Set.of("/main.js"));
    for (String path : ahead) {
      Matcher from = Pattern.compile("from \"\\.(/[a-z-]+\\.js)\"").matcher(http.get(path));
      while (from.find()) {
        imported.add(from.group(1));
      }
    }
    assertEquals(imported, ahead);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "evil.example",
        "evil.example:80",
        "127.0.0.1",
        "127.0.0.1:1",
        "localhost.evil.example"
      })
  void anotherHostIsMisdirected(String host) throws IOException {
    assertEquals(421, status(http.get("/", "Host: " + host)));
    assertEquals(421, status(http.get("/api/state", "Host: " + host)));
    assertEquals(421, status(http.post("/api/command", KEEP, "Host: " + host)));
  }

  @Test
  void theLocalNameIsThisHost() throws IOException {
    String port = http.host().split(":")[1];
    assertEquals(200, status(http.get("/api/state", "Host: localhost:" + port)));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"http://evil.example", "null", "https://127.0.0.1:8765", "http://127.0.0.1"})
  void anotherOriginIsRefused(String origin) throws IOException {
    assertEquals(403, status(http.post("/api/command", KEEP, "Origin: " + origin)));
    assertEquals(403, status(http.get("/api/live", "Origin: " + origin)));
  }

  @Test
  void aRequestThatAnotherSiteBroughtAboutIsRefused() throws IOException {
    assertEquals(403, status(http.get("/api/state", "Sec-Fetch-Site: cross-site")));
    assertEquals(200, status(http.get("/api/state", "Sec-Fetch-Site: same-origin")));
  }

  @Test
  void itsOwnOriginIsTaken() throws IOException {
    String own = "Origin: http://" + http.host();
    assertEquals(409, status(http.post("/api/command", KEEP, own)), "nothing runs");
  }

  @Test
  void whatAFormCanSendIsNoCommand() throws IOException {
    String text =
        http.head("POST /api/command", "Content-Type: text/plain", "Content-Length: 13")
            + "\r\n"
            + KEEP;
    assertEquals(415, status(http.ask(text)));
  }

  @Test
  void aBenchThatIsAtHomeIsNotAskedWhetherItIsTheSame() throws IOException {
    assertEquals(200, status(http.post("/api/simulated-bench", "{}")));
    assertTrue(http.get("/api/state").contains("\"elsewhere\":false"));
    assertEquals(409, status(http.post("/api/moved-bench", "{\"same\":false}")));
    assertEquals(400, status(http.post("/api/moved-bench", "{}")), "neither yes nor no");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "keep",
        "[]",
        "{\"do\":\"dance\"}",
        "{\"do\":1}",
        "{\"do\":\"keep\",\"do\":\"stop\"}",
        "{\"do\":\"keep\",\"extra\":1}",
        "{\"do\":\"keep\"}{}",
        "{\"do\":\"keep\",\"client\":\"a b\"}"
      })
  void whatIsNotACommandIsRefused(String body) throws IOException {
    int status = status(http.post("/api/command", body));
    assertTrue(status == 400 || status == 409, body + " gave " + status);
  }

  @Test
  void aRefusalThatQuotesIsFitToBeShown() throws IOException {
    String answer = http.post("/api/command", "{\"\\u001b[2J\":1}");
    assertTrue(answer.contains("no member \\\"\ufffd[2J\\\" here"), answer);
  }

  @Test
  void moreThanACommandCanBeIsRefusedUnread() throws IOException {
    assertEquals(413, status(http.post("/api/command", " ".repeat(70_000) + KEEP)));
    assertEquals(400, status(http.post("/api/command", "[".repeat(1_000))));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/../pom.xml",
        "/%2e%2e/pom.xml",
        "/bench.json",
        "/index.html",
        "/WebFiles.class",
        "/..%2f..%2fetc/passwd",
        "//etc/passwd",
        "/api/",
        "/api/command"
      })
  void noFileIsServedButThePagesOwn(String path) throws IOException {
    assertEquals(404, status(http.get(path)));
  }

  @ParameterizedTest
  @ValueSource(strings = {"..", "../x", "a/../b", ".hidden", "%2e%2e", "a%00b", "", "a%5Cb", "a/"})
  void testsAreNamedWithinTheDataFolder(String name) throws IOException {
    assertEquals(400, status(http.get("/api/test?name=" + name)));
    String body = "{\"plan\":\"plan.json\",\"out\":\"" + name.replace("%", "\\u0025") + "\"}";
    assertEquals(400, status(http.post("/api/start", body)));
  }

  @Test
  void aLinkOutOfTheDataFolderIsNoTest(@TempDir Path elsewhere) throws IOException {
    Files.createSymbolicLink(data.resolve("link"), elsewhere);
    assertEquals(404, status(http.get("/api/test?name=link")));
  }

  @Test
  void onlyThisComputerIsListenedTo() {
    assertTrue(page.address().toString().startsWith("http://127.0.0.1:"));
  }

  /** The JDK's server writes a warning into the terminal when HEAD is answered with a length. */
  @Test
  void headIsAnsweredWithoutAWordInTheTerminal() throws IOException {
    java.util.logging.Logger jdk = java.util.logging.Logger.getLogger("com.sun.net.httpserver");
    List<String> logged = new java.util.concurrent.CopyOnWriteArrayList<>();
    java.util.logging.Handler handler =
        new java.util.logging.Handler() {
          @Override
          public void publish(java.util.logging.LogRecord record) {
            logged.add(record.getMessage());
          }

          @Override
          public void flush() {}

          @Override
          public void close() {}
        };
    jdk.addHandler(handler);
    try {
      for (String path : List.of("/", "/api/state", "/api/live", "/nothing")) {
        String answer = http.ask(http.head("HEAD " + path) + "\r\n");
        assertEquals(400, status(answer), answer);
        assertTrue(answer.endsWith("\r\n\r\n"), "no body: " + answer);
      }
      String foreign = http.ask(http.head("HEAD /", "Host: example.org") + "\r\n");
      assertEquals(421, status(foreign));
    } finally {
      jdk.removeHandler(handler);
    }
    assertEquals(List.of(), logged);
  }

  @Test
  void notMoreThanThereIsRoomForWatch() throws IOException {
    Socket[] viewers = new Socket[LiveEvents.MOST_VIEWERS];
    for (int i = 0; i < viewers.length; i++) {
      viewers[i] = http.open(http.head("GET /api/live") + "\r\n");
      RawHttp.readUntil(viewers[i], "retry");
    }
    assertEquals(503, status(http.get("/api/live")));
    for (Socket viewer : viewers) {
      viewer.close();
    }
  }
}
