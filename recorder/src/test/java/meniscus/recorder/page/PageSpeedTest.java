package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadInfo;
import java.lang.management.ThreadMXBean;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestCurve;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;

/** How fast the page is, and what it costs; figures for docs/figures.md, printed. */
@Tag("bench")
class PageSpeedTest {

  private static final int SECONDS = 30;

  /** A test takes an hour: what the first seconds cost, compiling above all, is no part of it. */
  private static final int WARM_UP_SECONDS = 60;

  /** Notes, at each drawing of the trace, the clock and the newest flow sample drawn. */
  private static final String WATCH =
      """
      window.drawn = [];
      let newest = null;
      const parse = JSON.parse;
      JSON.parse = (text) => {
        const value = parse(text);
        if (value && value.live !== undefined && value.at !== undefined) { newest = value.at; }
        return value;
      };
      const draw = CanvasRenderingContext2D.prototype.setTransform;
      let told = null;
      CanvasRenderingContext2D.prototype.setTransform = function (...all) {
        const at = newest;
        if (at !== told) {
          told = at;
          queueMicrotask(() => window.drawn.push([performance.timeOrigin + performance.now(), at]));
        }
        return draw.apply(this, all);
      };
      """;

  /** The page notes itself when a test can be started; a driver that asks for it is late. */
  private static final String USABLE_AFTER =
      "return performance.getEntriesByName('usable')[0]?.startTime";

  @RegisterExtension static final Browser browser = Browser.thatPaintsEachFrame();

  @TempDir Path data;

  @Test
  void fromSampleToScreenAtThreeThousandReadingsASecond() throws Exception {
    try (Stage stage = new Stage(data)) {
      FastFeed feed = new FastFeed(data.resolve("bench.json"));
      stage.run("fast", stage.plan("plan.json", "0.1, 0.2"), feed, false);
      browser.open(stage.page, "");
      browser.await("averaging", () -> !browser.text("#seconds").isEmpty());
      pass(WARM_UP_SECONDS);
      browser.driver.executeScript(WATCH);
      Duration server = own();
      Map<String, Long> threads = threads();
      Duration shown = browsers();
      pass(SECONDS);
      double serverShare = own().minus(server).toNanos() / (SECONDS * 1e9);
      double browserShare = browsers().minus(shown).toNanos() / (SECONDS * 1e9);
      Map<String, Long> threadsAfter = threads();
      double[] millis = latencies(feed);
      System.out.printf(
          Locale.ROOT,
          "sample to canvas drawn, %d samples of flow: p50 %.1f ms, p99 %.1f ms, most %.1f ms%n",
          millis.length,
          millis[millis.length / 2],
          millis[(int) (millis.length * 0.99)],
          millis[millis.length - 1]);
      System.out.printf(
          Locale.ROOT,
          "CPU in %% of a core: program %.1f, of which making up the readings takes %.1f; whole"
              + " browser %.1f%n",
          100 * serverShare,
          100 * madeUpShare(),
          100 * browserShare);
      threadsAfter.entrySet().stream()
          .map(e -> Map.entry(e.getKey(), e.getValue() - threads.getOrDefault(e.getKey(), 0L)))
          .sorted((a, b) -> Long.compare(b.getValue(), a.getValue()))
          .limit(4)
          .forEach(
              e ->
                  System.out.printf(
                      Locale.ROOT,
                      "  thread \"%s\": %.1f %%%n",
                      e.getKey(),
                      e.getValue() / (SECONDS * 1e7)));
      assertTrue(millis.length > SECONDS * 500, "samples were shown: " + millis.length);
    }
  }

  private static void pass(int seconds) {
    long until = System.nanoTime() + Duration.ofSeconds(seconds).toNanos();
    browser.await("the time", () -> System.nanoTime() > until);
  }

  /** What this thread takes of a core that takes the same readings and does nothing with them. */
  private double madeUpShare() throws InterruptedException {
    ThreadMXBean all = ManagementFactory.getThreadMXBean();
    try (FastFeed feed = new FastFeed(data.resolve("bench.json"))) {
      feed.asks(new Feed.Asked(0.01, Sweep.OPENING, 7_000));
      long before = all.getCurrentThreadCpuTime();
      while (feed.readings() < SECONDS * 1_000) {
        feed.next(1);
      }
      return (all.getCurrentThreadCpuTime() - before) / (SECONDS * 1e9);
    }
  }

  /** Each sample counts, until the first drawing that shows it or a newer one [ms], sorted. */
  private static double[] latencies(FastFeed feed) {
    List<Double> millis = new ArrayList<>();
    int next = -1;
    for (Object row : (List<?>) browser.driver.executeScript("return window.drawn")) {
      List<?> pair = (List<?>) row;
      double drawn = ((Number) pair.get(0)).doubleValue();
      int newest = (int) Math.floor(((Number) pair.get(1)).doubleValue() * 1e3 + 1e-6);
      for (int k = next < 0 ? newest : next; k <= newest; k++) {
        millis.add(drawn - feed.handedOverMicros(k) / 1e3);
      }
      next = newest + 1;
    }
    double[] sorted = millis.stream().mapToDouble(Double::doubleValue).toArray();
    Arrays.sort(sorted);
    return sorted;
  }

  /** CPU time of each thread so far [ns]; those of one name together. */
  private static Map<String, Long> threads() {
    ThreadMXBean all = ManagementFactory.getThreadMXBean();
    Map<String, Long> times = new TreeMap<>();
    for (long id : all.getAllThreadIds()) {
      ThreadInfo info = all.getThreadInfo(id);
      if (info != null) {
        times.merge(info.getThreadName(), all.getThreadCpuTime(id), Long::sum);
      }
    }
    return times;
  }

  private static Duration own() {
    return ProcessHandle.current().info().totalCpuDuration().orElseThrow();
  }

  private static Duration browsers() {
    return ProcessHandle.current()
        .descendants()
        .map(each -> each.info().totalCpuDuration().orElse(Duration.ZERO))
        .reduce(Duration.ZERO, Duration::plus);
  }

  /** Notes, from each key in the search to the list that answers it [ms]. */
  private static final String WATCH_LIST =
      """
      window.took = [];
      let typed = null;
      addEventListener("input", () => { typed = performance.now(); }, true);
      new MutationObserver(() => {
        if (typed !== null) { window.took.push(performance.now() - typed); typed = null; }
      }).observe(document.querySelector("#leaf").parentElement, {childList: true});
      """;

  @Test
  void aKeyInTheSearchOfTenThousandTests() throws Exception {
    List<Path> patterns = new ArrayList<>();
    for (int i = 0; i < 20; i++) {
      TestCurve test = InventedFolders.plain("head " + i + "x");
      patterns.add(InventedFolders.write(data.resolve("pattern-" + i), test, true, Instant.EPOCH));
    }
    for (int i = 0; i < 10_000; i++) {
      linked(patterns.get(i % 20), data.resolve("job-" + i / 100).resolve("test-" + i));
    }
    try (Stage stage = new Stage(data)) {
      browser.open(stage.page, "#tests");
      browser.await("the list", () -> browser.text("#leaf").contains("of 10020"));
      browser.driver.executeScript(WATCH_LIST);
      String word = "head 13x";
      for (int round = 0; round < 5; round++) {
        for (int i = 0; i < word.length(); i++) {
          int answers = round * word.length() + i + 1;
          browser.one("#search").sendKeys(word.substring(i, i + 1));
          browser.await("an answer", () -> browser.number("window.took.length") >= answers);
        }
        assertTrue(browser.text("#leaf").contains("of 501"), browser.text("#leaf"));
        browser.driver.executeScript("document.querySelector('#search').value = ''");
      }
      double[] millis =
          ((List<?>) browser.driver.executeScript("return window.took"))
              .stream().mapToDouble(each -> ((Number) each).doubleValue()).sorted().toArray();
      System.out.printf(
          Locale.ROOT,
          "key to list of 10 020 tests, %d keys, 150 ms of rest after a key included: median %.0f"
              + " ms, 90th percentile %.0f ms, most %.0f ms%n",
          millis.length,
          millis[millis.length / 2],
          millis[millis.length * 9 / 10],
          millis[millis.length - 1]);
    }
  }

  /** The same files once more by another name: the disk holds few bytes. */
  private static void linked(Path from, Path to) throws IOException {
    try (Stream<Path> files = Files.walk(from)) {
      for (Path file : files.toList()) {
        Path there = to.resolve(from.relativize(file).toString());
        if (Files.isDirectory(file)) {
          Files.createDirectories(there);
        } else {
          Files.createLink(there, file);
        }
      }
    }
  }

  /** How long a virtual machine takes that does nothing: what a busy computer makes of it. */
  private static double bareMillis(Path java) throws IOException, InterruptedException {
    long began = System.nanoTime();
    new ProcessBuilder(java.toString(), "--version")
        .redirectOutput(ProcessBuilder.Redirect.DISCARD)
        .start()
        .waitFor();
    return (System.nanoTime() - began) / 1e6;
  }

  @Test
  void fromTheCommandToAUsablePage() throws Exception {
    Path java = Path.of(System.getProperty("java.home"), "bin", "java");
    for (int i = 0; i < 9; i++) {
      double bare = bareMillis(java);
      long began = System.nanoTime();
      Process program =
          new ProcessBuilder(
                  java.toString(),
                  "-jar",
                  Path.of("target", "meniscus.jar").toAbsolutePath().toString(),
                  "page",
                  "--at",
                  "0",
                  "--data",
                  data.toString())
              .redirectError(ProcessBuilder.Redirect.DISCARD)
              .start();
      try (BufferedReader out =
          new BufferedReader(
              new InputStreamReader(program.getInputStream(), StandardCharsets.UTF_8))) {
        String address = out.readLine();
        double printed = (System.nanoTime() - began) / 1e6;
        browser.driver.get(address);
        browser.await("the form", () -> browser.driver.executeScript(USABLE_AFTER) != null);
        Object usableAfter = browser.driver.executeScript(USABLE_AFTER);
        double page = ((Number) usableAfter).doubleValue();
        System.out.printf(
            Locale.ROOT,
            "bare JVM %.0f ms, address printed after %.0f ms, page usable %.0f ms after it was"
                + " opened: %.0f ms%n",
            bare,
            printed,
            page,
            printed + page);
      } finally {
        program.destroy();
      }
    }
  }
}
