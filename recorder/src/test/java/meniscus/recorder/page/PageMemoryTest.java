package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.ToDoubleFunction;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.Deadline;
import meniscus.recorder.page.bench.BenchOfPage;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;

/**
 * A day at the bench, one test after the other with the page open, in simulated time: every state
 * that four hours would bring is sent and shown, only faster.
 */
@Tag("bench")
class PageMemoryTest {

  private static final double HOURS = 4;

  /** Classes, caches and compiled code have settled by then. */
  private static final double WARM_HOURS = 1;

  @RegisterExtension static final Browser browser = Browser.thatPaintsEachFrame();

  @TempDir Path data;

  /** Memory in use once rubbish was collected [MB], after so many simulated hours. */
  private record Used(double hours, double server, double page, long nodes) {}

  @Test
  void fourHoursOfTestsLeaveTheMemoryOfServerAndPageFlat() throws Exception {
    Files.writeString(data.resolve("bench.json"), BenchOfPage.text("bench.json"));
    Files.writeString(data.resolve("plan.json"), plan());
    Path java = Path.of(System.getProperty("java.home"), "bin");
    Process program =
        new ProcessBuilder(
                java.resolve("java").toString(),
                "-Xmx256m",
                "-jar",
                Path.of("target", "meniscus.jar").toAbsolutePath().toString(),
                "page",
                "--at",
                "0",
                "--data",
                data.toString())
            .redirectError(ProcessBuilder.Redirect.DISCARD)
            .start();
    List<Used> used = new ArrayList<>();
    try (BufferedReader out =
        new BufferedReader(
            new InputStreamReader(program.getInputStream(), StandardCharsets.UTF_8))) {
      browser.driver.get(out.readLine());
      browser.driver.executeCdpCommand("Performance.enable", Map.of());
      double hours = 0;
      for (int test = 1; hours < HOURS; test++) {
        String name = "day-" + test;
        take(name);
        hours += simulatedHours(data.resolve(name));
        used.add(used(hours, java.resolve("jcmd"), program.pid()));
        System.out.println(used.get(used.size() - 1));
      }
    } finally {
      program.destroy();
    }
    List<Used> warm = used.stream().filter(each -> each.hours() > WARM_HOURS).toList();
    flat("heap of the program, MB", warm, Used::server);
    flat("heap of the page, MB", warm, Used::page);
    flat("nodes of the page", warm, Used::nodes);
  }

  /**
   * Many rungs of ten seconds each: more points an hour than anybody takes, and little to work out
   * for each, so that the time goes into what is sent and shown.
   */
  private static String plan() throws IOException {
    return BenchOfPage.text("plan.json")
        .replaceFirst("\"step\": [0-9.]+", "\"step\": 0.01")
        .replaceFirst("\"longest\": \"60 s\"", "\"longest\": \"10 s\"");
  }

  /** A hands-free test as fast as it can be worked out. */
  private void take(String name) throws InterruptedException {
    browser.await("the form", () -> browser.shown("#start") && browser.one("#start").isEnabled());
    browser.await("the plan", () -> browser.count("#plan option") == 1);
    browser.fill("#out", name);
    if (!browser.one("#quick").isSelected()) {
      browser.click("#quick");
    }
    browser.click("#start");
    // What drives the browser keeps something of each question: few are asked while a test runs.
    Deadline deadline = Deadline.of(name);
    while (!Files.exists(data.resolve(name).resolve("datapackage.json"))) {
      deadline.pause(500);
    }
    browser.await("the end", () -> browser.text(".last h2").equals(name + " is finished"));
  }

  private static double simulatedHours(Path folder) throws IOException {
    List<String> events = Files.readAllLines(folder.resolve("events.csv"));
    return Long.parseLong(events.get(events.size() - 1).split(",")[0]) / 3.6e12;
  }

  private static Used used(double hours, Path jcmd, long program) throws IOException {
    run(jcmd.toString(), Long.toString(program), "GC.run");
    Matcher heap =
        Pattern.compile("\\bused (\\d+)K")
            .matcher(run(jcmd.toString(), Long.toString(program), "GC.heap_info"));
    assertTrue(heap.find());
    browser.driver.executeCdpCommand("HeapProfiler.collectGarbage", Map.of());
    Map<?, ?> metrics = browser.driver.executeCdpCommand("Performance.getMetrics", Map.of());
    return new Used(
        hours,
        Long.parseLong(heap.group(1)) / 1024.0,
        metric(metrics, "JSHeapUsedSize") / (1024 * 1024),
        (long) metric(metrics, "Nodes"));
  }

  private static double metric(Map<?, ?> metrics, String name) {
    return ((List<?>) metrics.get("metrics"))
        .stream()
            .map(each -> (Map<?, ?>) each)
            .filter(each -> each.get("name").equals(name))
            .mapToDouble(each -> ((Number) each.get("value")).doubleValue())
            .findFirst()
            .orElseThrow();
  }

  private static String run(String... command) throws IOException {
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    return new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
  }

  /**
   * The last third against the first. Keeping a single number of each state that is shown would be
   * several MB in that time, and the list of earlier tests grows by right.
   */
  private static void flat(String what, List<Used> warm, ToDoubleFunction<Used> of) {
    int third = warm.size() / 3;
    double first = mean(warm.subList(0, third), of);
    double last = mean(warm.subList(warm.size() - third, warm.size()), of);
    System.out.printf(
        Locale.ROOT,
        "%s: %.2f in the first third after %.0f h, %.2f in the last%n",
        what,
        first,
        WARM_HOURS,
        last);
    assertTrue(last < 1.2 * first, what + " grows from " + first + " to " + last);
  }

  private static double mean(List<Used> some, ToDoubleFunction<Used> of) {
    return some.stream().mapToDouble(of).average().orElseThrow();
  }
}
