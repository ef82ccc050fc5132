package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PrintStream;
import java.net.BindException;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.recorder.cli.MeniscusCommand;
import meniscus.recorder.page.bench.BenchOfPage;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;

/** {@code record --page} and {@code demo --page}: the page of a command in the terminal. */
@Tag("long")
class CommandPageTest {

  @RegisterExtension static final Browser browser = new Browser();

  @TempDir Path data;

  @AfterEach
  void leave() {
    browser.driver.get("about:blank");
  }

  /** A command that runs, and what it has written to standard error so far. */
  private record Run(CompletableFuture<Integer> code, ByteArrayOutputStream err) {

    static Run of(Object... words) {
      String[] texts = new String[words.length];
      for (int i = 0; i < words.length; i++) {
        texts[i] = words[i].toString();
      }
      ByteArrayOutputStream err = new ByteArrayOutputStream();
      return new Run(
          CompletableFuture.supplyAsync(
              () ->
                  MeniscusCommand.run(
                      new PrintStream(new ByteArrayOutputStream(), true, StandardCharsets.UTF_8),
                      new PrintStream(err, true, StandardCharsets.UTF_8),
                      InputStream.nullInputStream(),
                      texts)),
          err);
    }

    private String said() {
      return err.toString(StandardCharsets.UTF_8);
    }

    String address() throws InterruptedException {
      Pattern address = Pattern.compile("bench page: (http://127\\.0\\.0\\.1:\\d+/)\\R");
      while (true) {
        Matcher found = address.matcher(said());
        if (found.find()) {
          return found.group(1);
        }
        assertTrue(!code.isDone(), said());
        Thread.sleep(20);
      }
    }

    int end() throws Exception {
      return code.get(3, TimeUnit.MINUTES);
    }
  }

  @Test
  void aRecordedTestIsKeptFromThePageWhichSaysThatItHasEnded() throws Exception {
    Path bench = Files.writeString(data.resolve("bench.json"), BenchOfPage.text("bench.json"));
    Path plan =
        Files.writeString(
            data.resolve("plan.json"),
            BenchOfPage.text("plan.json")
                .replaceFirst("\"ladder\": \\{[^}]*}", "\"ladder\": {\"lifts\": [0.3]}"));
    Run record =
        Run.of(
            "record", "--bench", bench, "--plan", plan, "--out", data.resolve("by-page"), "--page");
    browser.driver.get(record.address());
    browser.await("averaging", () -> !browser.text("#seconds").isEmpty());
    assertTrue(browser.text("#subject").startsWith("by-page"), browser.text("#subject"));
    browser.pedal(0);
    browser.await("the end", () -> browser.text(".last h2").equals("by-page is finished"));
    browser.await("said so", () -> browser.text("#link").equals("▲ ended"));
    assertTrue(browser.shown("#prepares"));
    assertEquals(0, browser.count("#keep"), "nothing is left to press");
    browser.shots("ended");
    int code = record.end();
    assertTrue(code == 0 || code == 5, record.said());
    assertTrue(Files.exists(data.resolve("by-page/datapackage.json")));
  }

  @Test
  void theDemoSaysWhatItDoesAndShowsItsTests() throws Exception {
    try (ServerSocket usual = new ServerSocket()) {
      takeUsualPort(usual);
      Run demo = Run.of("demo", "--quick", "--page", "--out", data.resolve("demo"));
      browser.driver.get(demo.address());
      browser.await("what it does", () -> browser.text("#prepares").startsWith("The demo: "));
      assertTrue(!browser.shown("#start"), "nothing can be started beside it");
      browser.await("a test", () -> browser.text("#subject").startsWith("before"));
      browser.await("the other", () -> browser.text("#subject").startsWith("after"));
      browser.await("the end", () -> browser.text("#link").equals("▲ ended"));
      assertEquals(0, demo.end(), demo.said());
    }
  }

  /** Binds the usual port, unless somebody else has: with it taken, another one is used. */
  private static void takeUsualPort(ServerSocket socket) throws IOException {
    try {
      socket.bind(new InetSocketAddress("127.0.0.1", 8765));
    } catch (BindException taken) {
      // As good.
    }
  }
}
