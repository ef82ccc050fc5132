package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestCurve;
import meniscus.core.time.Moment;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.archive.NotesOfTest;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.file.Notes;
import meniscus.recorder.folder.TestFolder;
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
import org.openqa.selenium.Keys;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.interactions.Actions;

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
    browser.driver.executeScript(
        "const s = document.querySelector('#search'); s.value = '';"
            + "s.dispatchEvent(new Event('input'));");
    browser.choose("#sort", "name");
    browser.await("by name", () -> browser.text("tbody tr:first-child").contains("after"));
    assertEquals(2, browser.count(".small-curve polyline"));
    assertTrue(browser.text("tbody tr").contains("cfm"), "its peak flow");
    browser.click("tbody tr:first-child input");
    assertFalse(browser.shown("#compare-picked"), "one alone is compared with nothing");
    browser.click("tbody tr:last-child input");
    browser.await("two", () -> browser.text("#compare-picked").equals("Compare before with after"));
    browser.click("#compare-picked");
    browser.await("compared", () -> browser.count(".outcome") == 5);
    assertEquals(List.of(), browser.complaints());
  }

  @Test
  void aNoteIsWrittenAndALiftIsSetAsideAndCountsAgain() throws IOException {
    browser.open(stage.page, "#test/before");
    browser.await("points", () -> browser.count(".page > table tbody tr") >= 5);
    browser.fill("#note", "new springs <b>fitted</b>");
    anAnswerThatIsLateIsWaitedForInSight("form:has(#note) button");
    browser.await("noted", () -> browser.text("#notes").endsWith("new springs <b>fitted</b>"));
    String second = ".page > table tbody tr:nth-child(2)";
    browser.click(".page > details:has(#because-2) > summary");
    browser.fill("#because-2", "spring held the valve");
    browser.click(".set-aside:has(#because-2) button");
    browser.await("aside", () -> browser.text(second).contains("spring held the valve"));
    NotesOfTest written = NotesOfTest.of(TestFolder.open(data.resolve("before")));
    assertEquals(List.of(2), written.notes().aside().stream().map(Notes.Aside::rung).toList());
    browser.click(".page > details:has(.take-back) > summary");
    browser.click(".take-back");
    browser.await("counts", () -> !browser.text(second).contains("spring held the valve"));
    written = NotesOfTest.of(TestFolder.open(data.resolve("before")));
    assertEquals(List.of(), written.notes().aside());
    assertEquals("new springs <b>fitted</b>", written.notes().notes().get(0).text());
    Path picture = Files.write(data.resolve("a <b>.jpg"), PhotosTest.picture("jpg"));
    browser.one("#photo").sendKeys(picture.toString());
    browser.fill("#caption", "the bowl");
    browser.click("#photo-add");
    browser.await(
        "the photo",
        () -> browser.number("document.querySelector('#photos img')?.naturalWidth ?? 0") == 40);
    Files.delete(picture);
    written = NotesOfTest.of(TestFolder.open(data.resolve("before")));
    assertEquals("the bowl", written.notes().photos().get(0).caption());
    assertTrue(browser.one("#exports a").getAttribute("href").contains("/export?test=before"));
    assertTrue(browser.one("#repeat-test").getAttribute("href").endsWith("#set-up/plan/before"));
    browser.click("#history");
    browser.await("the frame", () -> browser.count("iframe") == 1);
    browser.driver.switchTo().frame(browser.one("iframe"));
    browser.await("both tests", () -> browser.text("body").contains("History: Lark"));
    assertTrue(browser.text("body").contains("new springs <b>fitted</b>"), browser.text("body"));
    browser.driver.switchTo().defaultContent();
    browser.fill("#aim", "100 cfm at 0.300 in; 900 cfm at 0.600 in");
    browser.click("#aims-show");
    browser.await("asked anew", () -> browser.one("iframe").getAttribute("src").contains("aim="));
    browser.driver.switchTo().frame(browser.one("iframe"));
    browser.await(
        "the aims", () -> browser.text("body").matches("(?s).*100.* cfm at 0\\.300 in: reached.*"));
    browser.driver.switchTo().defaultContent();
    shots("history");
    whatIsPlannedAndWantedIsReadFromFiles();
    browser.driver.navigate().back();
    browser.driver.navigate().back();
    browser.driver.navigate().back();
    browser.await("the test", () -> browser.shown("#head-sheet"));
    browser.click("#head-sheet");
    browser.await("its frame", () -> browser.text("h1").equals("Head sheet"));
    browser.driver.switchTo().frame(browser.one("iframe"));
    browser.await("the head", () -> browser.text("h1").contains("Lark"));
    browser.driver.switchTo().defaultContent();
    assertEquals(List.of(), browser.complaints());
  }

  /** A series and a curve to reach lie in the data folder, as docs/records.md describes them. */
  private static void whatIsPlannedAndWantedIsReadFromFiles() throws IOException {
    Files.writeString(
        data.resolve("series.json"),
        """
        {"meniscus": "series/1", "name": "job 7", "states": [
          {"name": "bowl", "changes": [{"what": "opened the bowl"}]},
          {"name": "finish", "changes": [{"what": "finish of the runner"}]}]}
        """);
    Files.writeString(
        data.resolve("wanted.json"),
        """
        {"meniscus": "curve/1", "name": "wanted <b>", "units": "inch",
         "points": [{"lift": 0.3, "flow": 100}, {"lift": 0.6, "flow": 900}]}
        """);
    browser.fill("#aim", "");
    browser.fill("#target", "wanted.json");
    browser.fill("#series", "series.json");
    browser.click("#aims-show");
    browser.await(
        "asked anew", () -> browser.one("iframe").getAttribute("src").contains("target="));
    browser.driver.switchTo().frame(browser.one("iframe"));
    browser.await(
        "what is left", () -> browser.text("body").contains("2 of 2 planned states are left"));
    String read = browser.text("body");
    assertTrue(read.contains("wanted <b>"), read);
    assertTrue(read.matches("(?s).*100.* cfm at 0\\.300 in: reached.*"), read);
    assertTrue(read.matches("(?s).*900.* cfm at 0\\.600 in: not reached.*"), read);
    browser.driver.switchTo().defaultContent();
    browser.fill("#series", "wanted.json");
    browser.click("#aims-show");
    browser.await("why not", () -> browser.text(".report .fault").contains("series/1"));
    List<String> refused = browser.complaints();
    assertTrue(
        refused.stream().allMatch(each -> each.matches("(?s).*(422|frame-ancestors).*")),
        "" + refused);
    browser.driver.navigate().back();
  }

  @Test
  void oneTestShowsPointsFindingsAndTheReadingsOfARung() throws IOException {
    browser.open(stage.page, "#test/after");
    browser.await("points", () -> browser.count(".page > table tbody tr") >= 5);
    browser.driver.findElements(By.cssSelector(".page > details > summary")).get(4).click();
    browser.await("readings", () -> browser.count(".raw .plot[data-points]") >= 3);
    browser.await("how often", () -> browser.count(".raw .of-flow .often .plot[data-points]") == 1);
    assertTrue(browser.text(".raw .levels").startsWith("Two levels: "), browser.text(".levels"));
    shots("one-test");
    browser.driver.executeScript("document.querySelector('.raw').scrollIntoView()");
    browser.shot("switching-lift");
    assertEquals(
        "0.0 −0.1",
        browser.driver.executeAsyncScript(
            "const done = arguments[0]; import('/numbers.js').then(({fixed}) =>"
                + " done(fixed(-0.04, 1) + ' ' + fixed(-0.06, 1)))"),
        "what rounds to nothing has no sign");
    chartsAreReadAndSaved();
    aTraceIsLookedInto();
    assertEquals(List.of(), browser.complaints());
  }

  /** Striped at once, seconds from the first on, and as before when it is there. */
  private static void anAnswerThatIsLateIsWaitedForInSight(String css) {
    String words = browser.text(css);
    browser.driver.executeScript("window.held = new Promise((go) => window.letGo = go);");
    browser.click(css);
    assertEquals("true", browser.one(css).getAttribute("aria-busy"));
    assertTrue(browser.one(css).getCssValue("background-image").contains("gradient"));
    browser.await("for how long", () -> browser.text(css).matches(words + ".[12].s"));
    browser.driver.executeScript("window.letGo(); window.held = null;");
  }

  private static double zoomed(String chart, String end) {
    return Double.parseDouble(browser.one(chart).getAttribute("data-" + end));
  }

  /** Draws across a chart from one share of its width to another. */
  private static void drawAcross(String chart, double from, double to) {
    WebElement over = browser.one(chart + " .u-over");
    int width = over.getSize().getWidth();
    new Actions(browser.driver)
        .moveToElement(over, (int) ((from - 0.5) * width), 0)
        .clickAndHold()
        .moveByOffset((int) ((to - from) * width / 2), 0)
        .moveByOffset((int) ((to - from) * width / 2), 0)
        .release()
        .perform();
  }

  /** By pointer, by buttons and by keys, and back; a closer look has more readings in it. */
  private static void aTraceIsLookedInto() {
    String flow = ".raw .of-flow .plot";
    double all = zoomed(flow, "to");
    drawAcross(flow, 0.25, 0.5);
    browser.await("closer", () -> zoomed(flow, "to") < 0.6 * all);
    assertEquals(0.25 * all, zoomed(flow, "from"), 0.05 * all);
    browser.click(".raw .of-flow .zoom-all");
    browser.await("all", () -> zoomed(flow, "to") == all);
    browser.one(flow).sendKeys("+");
    browser.await("closer by a key", () -> zoomed(flow, "to") - zoomed(flow, "from") < 0.6 * all);
    browser.one(flow).sendKeys("0");
    browser.await("all by a key", () -> zoomed(flow, "to") == all);
    browser.click(".raw .of-flow .zoom-in");
    browser.await("closer by a button", () -> zoomed(flow, "to") < all);
    new Actions(browser.driver).doubleClick(browser.one(flow + " .u-over")).perform();
    browser.await("all by a double click", () -> zoomed(flow, "to") == all);
    browser.one(flow).sendKeys(Keys.ARROW_RIGHT);
    String read = browser.text(".raw .of-flow .read-out");
    assertTrue(read.matches("\\d.*\\.\\d+ s: .* cfm"), read);
  }

  /** Each chart, its values by the arrow keys and under the pointer, and as files. */
  private static void chartsAreReadAndSaved() throws IOException {
    for (String[] chart :
        new String[][] {
          {"flow", "lift 0.100 in: ", "cfm"},
          {"cd", "L/D 0.052: 0.", ""},
          {"per-area", "L/D 0.052: ", "cfm per in²"},
          {"velocity", "lift 0.100 in: ", "ft/s"}
        }) {
      browser.choose("#chart", chart[0]);
      browser.await("drawn", () -> browser.count("#plot .plot[data-points='5']") == 1);
      browser.one("#plot .plot").sendKeys(Keys.ARROW_RIGHT);
      String read = browser.text("#plot .read-out");
      assertTrue(read.startsWith(chart[1]) && read.contains(chart[2]), read);
      browser.shot("chart-" + chart[0]);
    }
    browser.one("#plot .plot").sendKeys(Keys.ARROW_RIGHT);
    String second = browser.text("#plot .read-out");
    assertTrue(second.startsWith("lift 0.200 in"), second);
    WebElement over = browser.one("#plot .u-over");
    new Actions(browser.driver).moveToElement(over, over.getSize().getWidth() / 2 - 5, 0).perform();
    browser.await("pointed at", () -> browser.text("#plot .read-out").startsWith("lift 0.600 in"));
    browser.choose("#chart", "flow");
    browser.await("drawn", () -> browser.count("#plot .plot[data-points='5']") == 1);
    browser.driver.executeScript(
        "window.saved = []; const make = URL.createObjectURL;"
            + "URL.createObjectURL = (blob) => { window.saved.push(blob); return make(blob); };");
    browser.click("#plot .save-svg");
    browser.click("#plot .save-png");
    browser.await("both", () -> browser.number("window.saved.length") == 2);
    Object saved =
        browser.driver.executeAsyncScript(
            "const done = arguments[arguments.length - 1]; (async () => {"
                + " const [svg, png] = window.saved;"
                + " const file = new DOMParser().parseFromString(await svg.text(), svg.type);"
                + " const picture = await createImageBitmap(png);"
                + " const canvas = new OffscreenCanvas(picture.width, picture.height);"
                + " const g = canvas.getContext('2d'); g.drawImage(picture, 0, 0);"
                + " const dots = g.getImageData(0, 0, picture.width, picture.height).data;"
                + " const back = [...dots.slice(0, 4)].join(); let ink = 0;"
                + " for (let i = 0; i < dots.length; i += 4) {"
                + "   ink += [...dots.slice(i, i + 4)].join() !== back; }"
                + " return [file.querySelectorAll('circle, path, text').length,"
                + "   file.querySelectorAll('[class], parsererror').length,"
                + "   picture.width > 800, ink > 3000].join(); })().then(done, (e) => done(String(e)));");
    assertTrue(String.valueOf(saved).matches("[1-9]\\d+,0,true,true"), String.valueOf(saved));
  }

  @Test
  void whatWasMeasuredBesideTheFlowHasTablesOfItsOwn(@TempDir Path other) throws Exception {
    TestCurve test = InventedFolders.beside(InventedFolders.plain("taps"), 24.9);
    InventedFolders.write(other.resolve("taps"), test, true, Instant.parse("2031-05-06T07:08:09Z"));
    InventedFolders.write(other.resolve("sweep"), overPressure(), true, Instant.EPOCH);
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
      assertEquals(0, browser.count("#chart option[value^=sweep]"), "one pressure is no sweep");
      browser.open(taps.page, "#test/sweep");
      browser.await("the list of charts", () -> browser.count("#chart option") > 1);
      browser.await(
          "flow over lift is of one pressure",
          () -> browser.count("#plot .plot[data-points='11']") == 1);
      browser.choose("#chart", "sweep-12");
      String named = browser.text("#chart option[value=sweep-12]");
      assertEquals("Effective area over test pressure, at lift 12.00 mm", named);
      browser.await("drawn", () -> browser.count("#plot .plot[data-points='3']") == 1);
      for (String read : List.of("7.0 inH2O: 500", "14.0 inH2O: 510", "28.0 inH2O: 530")) {
        browser.one("#plot .plot").sendKeys(Keys.ARROW_RIGHT);
        String point = browser.text("#plot .read-out");
        assertTrue(point.matches("test pressure " + read + " ± 1[12] mm², steady"), point);
      }
      browser.shot("chart-sweep");
      assertEquals(List.of(), browser.complaints());
    }
  }

  /** A test whose last lift was taken at three test pressures, its areas as chosen here [mm²]. */
  private static TestCurve overPressure() {
    TestCurve plain = InventedFolders.plain("sweep");
    Plan plan = plain.plan();
    List<Rung> ladder = new ArrayList<>(plan.ladder());
    List<LiftPoint> points = new ArrayList<>(plain.points());
    double[][] rungs = {{7, 500}, {14, 510}, {28, 530}};
    LiftPoint last = points.remove(11);
    ladder.remove(11);
    for (double[] rung : rungs) {
      int number = ladder.size() + 1;
      double pascals = 249.0889 * rung[0]; // 1 inH2O of 4 degC, NIST SP 811
      ladder.add(new Rung(number, 12e-3, Sweep.OPENING, OptionalDouble.of(pascals), false));
      double flow = last.flow().m3PerS();
      points.add(
          new LiftPoint(
              new LiftPoint.Taken(
                  number, 1, 1, Moment.ofSeconds(30 * number), 12e-3, Sweep.OPENING, "main"),
              new LiftPoint.Flow(
                  rung[1] * 1e-6,
                  flow,
                  OptionalDouble.of(0.022 * flow),
                  last.flow().repeatU95(),
                  last.flow().cdCurtain()),
              new LiftPoint.Setting(pascals, true, OptionalDouble.empty(), OptionalDouble.empty()),
              last.average(),
              List.of(),
              last.budget()));
    }
    return new TestCurve(
        plain.name(),
        plain.bench(),
        plain.calibration(),
        plain.repeatability(),
        new Plan(
            plan.subject(),
            plan.setUp(),
            plan.aim(),
            ladder,
            plan.keeping(),
            plan.range(),
            plan.shown()),
        plain.room(),
        plain.health(),
        points);
  }

  /** Six links, each a file of the kind that its name says. */
  private void everyChartIsToBeHad() throws IOException {
    List<String> names = new ArrayList<>();
    for (WebElement link : browser.driver.findElements(By.cssSelector("#charts a"))) {
      names.add(link.getText());
      try (InputStream in = URI.create(link.getAttribute("href")).toURL().openStream()) {
        byte[] file = in.readAllBytes();
        String start = new String(file, 0, 5, StandardCharsets.ISO_8859_1);
        assertEquals(
            link.getText().endsWith(".svg") ? "<svg " : "\u0089PNG\r", start, link.getText());
      }
    }
    assertEquals(
        List.of("flow.svg", "flow.png", "change.svg", "change.png", "card.svg", "card.png"), names);
    try (InputStream in =
        URI.create(browser.one("#short").getAttribute("href")).toURL().openStream()) {
      String sheet = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      assertTrue(sheet.contains(">before<") && sheet.contains(">difference<"), sheet);
    }
  }

  /** Flow before and after, and what changed: by keys, under the pointer, closer, as pictures. */
  private static void bothChartsAreReadAndSaved() {
    browser.await("drawn", () -> browser.count(".side .plot[data-points='5']") == 2);
    browser.driver.executeScript(
        "window.offered = []; HTMLAnchorElement.prototype.click = function () {"
            + " window.offered.push(this.download + ' ' + new URL(this.href).protocol); };");
    for (String[] chart :
        new String[][] {
          {
            ".side figure:first-child",
            "lift 0\\.100 in: before [\\d.]+ ± .*; after [\\d.]+ ± .* cfm"
          },
          {"#differences", "lift 0\\.100 in: −?[\\d.]+ ± [\\d.]+ %, cannot tell yet"}
        }) {
      String plot = chart[0] + " .plot";
      browser.one(plot).sendKeys(Keys.ARROW_RIGHT);
      String read = browser.text(chart[0] + " .read-out");
      assertTrue(read.matches(chart[1]), read);
      double all = zoomed(plot, "to");
      drawAcross(plot, 0.25, 0.5);
      browser.await("closer", () -> zoomed(plot, "to") < 0.6 * all);
      browser.one(plot).sendKeys("0");
      browser.await("all", () -> zoomed(plot, "to") == all);
      WebElement over = browser.one(plot + " .u-over");
      int right = over.getSize().getWidth() / 2 - 5;
      new Actions(browser.driver).moveToElement(over, right, 0).perform();
      browser.await(
          "pointed at", () -> browser.text(chart[0] + " .read-out").startsWith("lift 0.600 in: "));
      browser.click(chart[0] + " .save-svg");
      browser.click(chart[0] + " .save-png");
    }
    browser.await("saved", () -> browser.number("window.offered.length") == 4);
    Object offered = browser.driver.executeScript("return window.offered.sort().join()");
    assertEquals("change.png blob:,change.svg http:,flow.png blob:,flow.svg http:", offered);
  }

  @Test
  void beforeAndAfterAreComparedAndReported() throws IOException {
    browser.open(stage.page, "#change");
    browser.await("the tests", () -> browser.count("#before option") == 2);
    browser.choose("#before", "before");
    browser.choose("#after", "after");
    browser.click("#compare");
    browser.await("differences", () -> browser.count(".outcome") == 5);
    assertTrue(
        browser.text("table").contains("cannot tell yet"),
        "one run each side without stored repeatability decides nothing");
    assertTrue(
        browser.one(".learn-repeatability").getAttribute("href").endsWith("#set-up/repeat"),
        "what it takes is offered where it is missed");
    bothChartsAreReadAndSaved();
    shots("change");
    assertEquals(List.of(), browser.complaints());
    everyChartIsToBeHad();
    browser.click("#report");
    browser.await("the print button", () -> browser.count("#print") == 1);
    browser.driver.switchTo().frame(browser.one("iframe"));
    browser.await("the report in its frame", () -> browser.count("svg") > 0);
    browser.driver.switchTo().defaultContent();
    shots("report");
    assertEquals(List.of(), browser.complaints(), "its style is allowed, nothing else");
  }
}
