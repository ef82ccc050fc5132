package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import meniscus.core.time.Moment;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.BenchFile;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Keys;

/** Columns read by eye, typed on the page in a real browser. */
@Tag("long")
class ReadByEyePageTest {

  private static final String SHEET =
      """
      {"meniscus": "sheet/1", "name": "Two water columns", "driver": "by-hand",
       "channels": [{"name": "test_pressure", "unit": "inH2O"},
                    {"name": "element_drop", "unit": "inH2O"}]}
      """;

  private static final String BENCH =
      """
      {"meniscus": "bench/1", "name": "Two columns", "units": "inch", "layout": "blower side",
       "instruments": [{"id": "columns", "sheet": "columns.json"}],
       "channels": {
         "test_pressure": {"instrument": "columns", "channel": "test_pressure",
           "low": "0 inH2O", "high": "60 inH2O", "accuracy": {"quantum": "0.1 inH2O"}},
         "room_temperature": {"typed": "70 degF", "within": "3 degF"},
         "room_pressure": {"typed": "29.9 inHg", "within": "0.1 inHg"}},
       "ranges": [{"name": "large",
         "element": {"kind": "orifice", "bore": "60 mm",
           "coefficient": {"value": 0.6, "standard_uncertainty": "2 %"}},
         "drop": {"instrument": "columns", "channel": "element_drop",
           "low": "0 inH2O", "high": "60 inH2O", "accuracy": {"quantum": "0.1 inH2O"}}}]}
      """;

  private static final String PRESSURE = "#typed-test_pressure";
  private static final String DROP = "#typed-element_drop";

  /** NUREG-0700 and common practice ask for about 9 mm under a finger: 48 px at 96 px an inch. */
  private static final int TOUCH_PX = 48;

  @RegisterExtension static final Browser browser = new Browser();

  @TempDir Path data;
  private Stage stage;

  @BeforeEach
  void serve() throws IOException {
    stage = new Stage(data);
    Files.writeString(data.resolve("bench.json"), BENCH);
    Files.writeString(data.resolve("columns.json"), SHEET);
    browser.complaints();
  }

  @AfterEach
  void end() throws IOException {
    stage.close();
    browser.driver.get("about:blank");
  }

  private void run(boolean handsFree) throws IOException {
    Path bench = data.resolve("bench.json");
    stage.run(
        "columns-1",
        stage.plan("plan.json", "0.1, 0.2, 0.3"),
        Feeds.open(
                BenchFile.read(bench),
                bench,
                Drivers.shipped(),
                Feeds.Simulation.usual(),
                Moment.START)
            .feed(),
        handsFree);
    browser.open(stage.page, "");
    browser.await("the fields", () -> browser.shown(PRESSURE));
  }

  private int kept() {
    return browser.count(".ladder .kept, .ladder .doubtful");
  }

  private void keys(CharSequence... typed) {
    browser.driver.switchTo().activeElement().sendKeys(typed);
  }

  @Test
  void aRungIsTypedAndKeptWithoutLeavingTheKeyboard() throws Exception {
    run(false);
    assertEquals("type", browser.text("#verdict"));
    browser.one(PRESSURE).sendKeys("28.0", Keys.ENTER);
    keys("3.8..4.2", Keys.ENTER);
    browser.await("a value", () -> browser.text("#verdict").equals("by eye"));
    assertTrue(browser.text(".reasons").contains("read by eye"), browser.text(".reasons"));
    double flow = Double.parseDouble(browser.text("#flow"));
    assertTrue(flow > 0, browser.text("#flow"));
    browser.shots("capture-by-eye");
    keys(Keys.ENTER);
    long pressed = browser.number("Math.round(performance.now())");
    browser.await("rung 1", () -> kept() == 1);
    assertEquals(1, browser.count(".ladder .kept"), "by eye is no point to doubt");
    browser.await("the next reading is wanted", () -> browser.text("#verdict").equals("type"));
    keys("28.1", Keys.ENTER);
    keys("8", Keys.ENTER);
    browser.await("a value", () -> browser.text("#verdict").equals("by eye"));
    browser.await(
        "a press that is not the same one",
        () -> browser.number("Math.round(performance.now())") > pressed + 1_000);
    browser.pedal(5);
    browser.await("rung 2", () -> kept() == 2);
    assertEquals(2, stage.keeps.get());
    assertEquals(List.of(), browser.complaints());
  }

  @Test
  void whatIsNoReadingIsSaidAndStaysInItsField() throws Exception {
    run(false);
    browser.fill(PRESSURE, "28");
    browser.fill(DROP, "4 degC");
    browser.click("#type");
    browser.await("the fault", () -> browser.text("#typing-fault").contains("degC"));
    assertEquals("4 degC", browser.one(DROP).getDomProperty("value"));
    assertEquals("type", browser.text("#verdict"), "all or nothing is taken");
    Accessible.check(browser, "a reading that was refused");
    browser.fill(DROP, "4");
    browser.click("#type");
    browser.await("a value", () -> browser.text("#verdict").equals("by eye"));
    assertEquals("", browser.text("#typing-fault"));
    assertEquals("", browser.one(DROP).getDomProperty("value"));
  }

  @Test
  void handsFreeTypingIsAllThereIsToDo() throws Exception {
    run(true);
    browser.one(PRESSURE).sendKeys("28", Keys.ENTER);
    for (int rung = 1; rung <= 3; rung++) {
      int wanted = rung;
      keys("" + 4 * rung, Keys.ENTER);
      browser.await("rung " + rung, () -> kept() == wanted);
      if (rung < 3) {
        browser.await("the next", () -> browser.text("#verdict").equals("type"));
        browser.one(PRESSURE).sendKeys("28", Keys.ENTER);
      }
    }
    browser.await("the end", () -> browser.text("#verdict").equals("done"));
  }

  @Test
  void fieldsAreLargeEnoughForAFingerOnEveryScreen() throws Exception {
    run(false);
    for (int[] size : new int[][] {{1366, 768}, {1920, 1080}, {800, 1280}}) {
      browser.size(size[0], size[1]);
      for (String css : List.of(PRESSURE, DROP, "#type")) {
        long height =
            browser.number(
                "Math.round(document.querySelector('" + css + "').getBoundingClientRect().height)");
        assertTrue(height >= TOUCH_PX, css + " is " + height + " px high at " + size[0]);
      }
      long over =
          browser.number(
              "document.querySelector('.typing').getBoundingClientRect().right - innerWidth > 1 ? 1"
                  + " : 0");
      assertEquals(0, over, "beyond the window at " + size[0]);
    }
    browser.size(1366, 768);
    Accessible.check(browser, "fields for columns");
  }
}
