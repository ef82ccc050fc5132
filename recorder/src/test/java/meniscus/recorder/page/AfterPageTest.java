package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import meniscus.core.lift.TestCurve;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.report.InventedFolders;
import meniscus.recorder.session.TestRecorder;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.By;

/** What the page shows of finished tests. */
@Tag("long")
class AfterPageTest {

  @RegisterExtension static final Browser browser = new Browser();

  private static Stage stage;
  @TempDir static Path data;

  @BeforeAll
  static void takeTwoTests() throws Exception {
    stage = new Stage(data);
    Path plan = stage.plan("plan.json", "0.1, 0.2, 0.3, 0.4, 0.6");
    Scenario scenario = Scenario.demo();
    record("before", plan, new Mounted.Head(scenario.before()));
    record("after", plan, new Mounted.Head(scenario.after()));
  }

  private static void record(String name, Path plan, Mounted head)
      throws IOException, InterruptedException {
    new TestRecorder(
            new TestRecorder.Request(
                data.resolve("bench.json"),
                plan,
                data.resolve(name),
                Optional.empty(),
                true,
                false,
                new Feeds.Simulation(true, 5, head)),
            Drivers.shipped())
        .record(session -> {});
  }

  @AfterAll
  static void close() throws IOException {
    if (stage != null) {
      stage.close();
    }
  }

  @BeforeEach
  void forget() {
    browser.complaints();
  }

  private void shots(String name) throws IOException {
    browser.shots(name);
  }

  @Test
  void theListIsSearched() throws IOException {
    browser.open(stage.page, "#tests");
    browser.await("both", () -> browser.count("tbody tr") == 2);
    shots("tests");
    browser.choose("#kind", "exhaust");
    browser.await("no exhaust", () -> browser.text(".page").contains("Nothing found"));
    browser.choose("#kind", "intake");
    browser.await("both again", () -> browser.count("tbody tr") == 2);
    browser.one("#search").sendKeys("lark aft");
    browser.await("one", () -> browser.count("tbody tr") == 1);
    assertTrue(browser.text("tbody").contains("after"));
    browser.one("#search").sendKeys("zzz");
    browser.await("none", () -> browser.text(".page").contains("Nothing found"));
    assertEquals(List.of(), browser.complaints());
  }

  @Test
  void oneTestShowsPointsFindingsAndTheReadingsOfARung() throws IOException {
    browser.open(stage.page, "#test/after");
    browser.await("points", () -> browser.count(".page > table tbody tr") >= 5);
    browser.driver.findElements(By.cssSelector(".page > details summary")).get(0).click();
    browser.await("readings", () -> browser.count(".readings polygon") >= 3);
    shots("one-test");
    assertEquals(List.of(), browser.complaints());
  }

  @Test
  void whatWasMeasuredBesideTheFlowHasTablesOfItsOwn(@TempDir Path other) throws Exception {
    TestCurve test = InventedFolders.beside(InventedFolders.plain("taps"), 24.9);
    InventedFolders.write(other.resolve("taps"), test, true, Instant.parse("2031-05-06T07:08:09Z"));
    try (Stage taps = new Stage(other)) {
      browser.open(taps.page, "#test/taps");
      browser.await("four tables", () -> browser.count(".page > table") == 4);
      String shown = browser.text(".page");
      for (String text :
          List.of(
              "Fast channel",
              "20 to 100 Hz, inH2O",
              "0.1000 ± 0.0050",
              "Velocity at the probe",
              "60.0 ± 3.0",
              "board.<b>swirl",
              "0.250 ± 0.013")) {
        assertTrue(shown.contains(text), text + " in " + shown);
      }
      shots("beside");
      assertEquals(List.of(), browser.complaints());
    }
  }

  @Test
  void beforeAndAfterAreComparedAndReported() throws IOException {
    browser.open(stage.page, "#change");
    browser.await("the tests", () -> browser.count("#before option") == 2);
    browser.one("#before option[value=before]").click();
    browser.one("#after option[value=after]").click();
    browser.one("#compare").click();
    browser.await("differences", () -> browser.count(".outcome") == 5);
    assertTrue(
        browser.text("table").contains("cannot tell yet"),
        "one run each side without stored repeatability decides nothing");
    shots("change");
    assertEquals(List.of(), browser.complaints());
    browser.one("#report").click();
    browser.await("the print button", () -> browser.count("#print") == 1);
    browser.driver.switchTo().frame(browser.one("iframe"));
    browser.await("the report in its frame", () -> browser.count("svg") > 0);
    browser.driver.switchTo().defaultContent();
    shots("report");
    assertEquals(List.of(), browser.complaints(), "its style is allowed, nothing else");
  }
}
