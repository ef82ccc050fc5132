package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Zero;
import meniscus.core.flow.Direction;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.file.PlatesFile;
import meniscus.recorder.page.bench.BenchOfPage;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.By;
import org.openqa.selenium.WebElement;

/** From an empty folder to a printed comparison, on the page alone. */
@Tag("long")
class WholeJobPageTest {

  @RegisterExtension static final Browser browser = new Browser();

  @TempDir Path data;
  private PageServer page;

  @BeforeEach
  void serve() throws IOException {
    page = PageServer.start(0, data, data.resolve("bench.json"), Drivers.shipped());
    browser.complaints();
  }

  @AfterEach
  void end() {
    page.close();
    browser.driver.get("about:blank");
  }

  private Bench bench() {
    return BenchFile.read(data.resolve("bench.json"));
  }

  /** Which step of the try-out is told; more than there are once it has ended. */
  private static int step() {
    Matcher told = Pattern.compile("^(\\d+) of 10\\.").matcher(browser.text("#try-out"));
    return told.find() ? Integer.parseInt(told.group(1)) : 99;
  }

  private static boolean half() {
    return browser.count(".ladder .kept, .ladder .doubtful") >= 6;
  }

  private void step(String name, String ready) {
    browser.click(".set-up-steps a[href='#set-up/" + name + "']");
    browser.await(name, () -> browser.shown(ready));
  }

  private void awaitEnd(String title) {
    browser.await(
        "the end of " + title,
        () -> browser.text(".under-way h3").startsWith(title) && browser.count(".ended") == 1);
    assertEquals("✓ Done", browser.text(".ended"), browser.text(".under-way"));
  }

  @Test
  void anEmptyFolderOpensOnTwoChoicesAndTheFirstDoesAWholeJob() throws IOException {
    browser.open(page, "");
    browser.await("both", () -> browser.shown("#try-it") && browser.shown("#set-up-mine"));
    assertEquals("", browser.text(".page .fault"), "nothing is wrong yet");
    assertEquals(
        0,
        browser.number(
            "[...document.querySelectorAll('main button')].filter(b => b.offsetParent && b.disabled).length"));
    browser.size(390, 844);
    assertEquals(
        0,
        browser.number("document.documentElement.scrollWidth > innerWidth + 1 ? 1 : 0"),
        "sideways on a phone");
    browser.size(1366, 768);
    browser.shots("first");
    Set<String> ways = new TreeSet<>(placesThatAreLinks());
    browser.click("#try-it");
    browser.await("said", () -> browser.text("#try-out").contains("1 of 10. Zero."));
    browser.shots("try-out");
    browser.click("#try-out-stop");
    browser.await("ended", () -> browser.text("#try-out").contains("The try-out has ended"));
    browser.await("offered again", () -> browser.shown("#try-it"));
    // The same without holding back: three minutes are for people.
    browser.driver.executeScript(
        "fetch('/api/try-out', {method: 'POST', headers: {'Content-Type': 'application/json'},"
            + "body: JSON.stringify({do: 'start', quick: true,"
            + " client: sessionStorage.getItem('meniscus-client')})})");
    for (int step : new int[] {3, 4, 6, 7, 8, 9}) { // one after the other: the machine may be busy
      browser.await("step " + step, () -> step() >= step);
    }
    browser.await("half of it", () -> half() || step() > 9);
    browser.await("the end", () -> browser.shown("#try-out-change"));
    browser.click("#try-out-change");
    browser.await("differences", () -> browser.count(".outcome") == 12);
    browser.shots("what-changed");
    assertTrue(browser.count(".outcome.loss") > 0, "the short side gave up");
    browser.open(page, "#test/try-out-2%2Fafter");
    browser.await("its charts", () -> browser.count("#chart option") >= 5);
    browser.choose("#chart", "unsteadiness");
    browser.await("drawn", () -> browser.count("#plot .plot[data-points]") == 1);
    browser.shot("chart-unsteadiness");
    browser.click("#try-out-close");
    assertFalse(browser.shown("#try-out"));
    assertFalse(Files.exists(data.resolve("bench.json")), "the shop's own bench is untouched");
    assertTrue(Files.exists(data.resolve("try-out-2/after/datapackage.json")));
    Files.writeString(data.resolve("bench.json"), "{");
    browser.open(page, "");
    browser.await("refused", () -> browser.text(".bench").contains("is not accepted"));
    ways.addAll(placesThatAreLinks());
    Files.writeString(data.resolve("bench.json"), BenchOfPage.text("bench.json"));
    browser.open(page, "");
    browser.await("no plan", () -> browser.shown(".no-plan"));
    ways.addAll(placesThatAreLinks());
    assertTrue(ways.containsAll(List.of("#set-up/bench", "#set-up/readings", "#set-up/plan")));
    theyLeadSomewhere(ways);
    assertEquals(List.of(), browser.complaints());
  }

  /**
   * Where the first screen leads to; no place of the page is named there in plain words: none of
   * those in its head, nor a step of the set-up.
   */
  private static List<String> placesThatAreLinks() {
    assertEquals(
        "",
        browser.driver.executeScript(
            "const names = ['Capture', 'Tests', 'Set-up', 'Help', 'Bench', 'Readings', 'Zero',"
                + " 'Both gauges', 'Leakage', 'Plates', 'Calibration', 'Calm record', 'Bench health',"
                + " 'Plan', 'Repeatability'].join('|');"
                + "const named = new RegExp(`(^|[^\\\\p{L}-])(${names})(?![\\\\p{L}-]|:)`, 'u');"
                + "const walk = document.createTreeWalker(document.querySelector('main'), 4);"
                + "const plain = []; while (walk.nextNode()) { const at = walk.currentNode.parentElement;"
                + " if (at.offsetParent && !at.closest('h1, h2, a, button, label, option')"
                + " && named.test(walk.currentNode.data)) { plain.push(walk.currentNode.data); } }"
                + "return plain.join('\\n');"),
        "named, and no link");
    return browser.driver.findElements(By.cssSelector(".top a, main a")).stream()
        .filter(WebElement::isDisplayed)
        .map(link -> link.getDomAttribute("href"))
        .toList();
  }

  private void theyLeadSomewhere(Set<String> ways) throws IOException {
    for (String way : ways) {
      browser.driver.get(page.address() + way.replaceFirst("^/", ""));
      browser.await(way, () -> browser.shown("h1, h2"));
      if (way.startsWith("#set-up/")) {
        String step = ".set-up-steps a[aria-current=step][href='" + way + "']";
        browser.await("its step", () -> browser.count(step) == 1);
      } else if (way.startsWith("#")) {
        String head = ".top nav a[aria-current=page][href='" + way + "']";
        browser.await("its part", () -> browser.count(head) == 1);
      }
    }
  }

  @Test
  void aWholeJobFromAnEmptyFolderToTheReport() throws IOException {
    browser.open(page, "#set-up");
    browser.await("the offer", () -> browser.shown("#simulate"));
    browser.taskBegins();
    browser.click("#simulate");
    browser.await(
        "the bench",
        () ->
            browser.text("h2").equals("Bench")
                && browser.text(".set-up-step").contains("equations"));

    browser.taskDone("simulated bench", 1);
    step("readings", "#listen");
    browser.click("#listen");
    browser.await("all alive", () -> browser.count(".set-up-steps .done[href$=readings]") == 1);
    browser.click("#begin-wiring");
    browser.click("#blower-on");
    browser.await("what moved", () -> browser.text("#wired").startsWith("✓"));
    browser.taskDone("readings and wiring check", 4);
    browser.shots("set-up-readings");
    browser.driver.navigate().refresh();
    browser.await("the tick", () -> browser.count(".set-up-steps .done[href$=readings]") == 1);
    browser.taskBegins();

    step("zero", "#zero-form");
    browser.click("#zero-form .keep");
    awaitEnd("Zero");
    browser.taskDone("zero", 2);
    step("leakage", "#leakage-form");
    browser.click("#leakage-form .keep");
    awaitEnd("Leakage");
    browser.taskDone("leakage", 2);
    step("calibration", "#calibration-form");
    for (String plate : List.of("12.5", "20", "28")) {
      browser.one("#calibration-form input[value='" + plate + "']").click();
    }
    browser.click("#calibration-form .keep");
    for (String plate : List.of("44", "50", "36", "44")) {
      mount(plate);
    }
    awaitEnd("Calibration");
    browser.taskDone("calibration on three plates of six, the first once more", 9);
    browser.shots("set-up-calibration");
    browser.taskBegins();
    step("calm", "#calm-form");
    for (String plate : List.of("12.5", "20", "28")) {
      browser.one("#calm-form input[value='" + plate + "']").click();
    }
    browser.fill("#calm-form .field:last-child input", "30");
    browser.click("#calm-form .keep");
    for (String plate : List.of("36", "44", "50")) {
      mount(plate);
    }
    awaitEnd("Calm record");
    browser.await("ticked", () -> browser.count(".set-up-steps .done[href$=calm]") == 1);
    browser.taskDone("calm record on three plates of six", 9);
    browser.shots("set-up-calm");
    assertTrue(Files.exists(data.resolve("calm").resolve("calm.json")));
    browser.taskBegins();
    step("health", "#check-form");
    browser.choose("#check-form select", "44");
    browser.click("#check-form .keep");
    mount("44");
    awaitEnd("Plate check");
    browser.taskDone("plate check", 5);
    browser.await("drawn", () -> browser.count(".health .plot[data-points]") >= 4);
    assertTrue(browser.text(".set-up-step").contains("Calibration, suction, range large"));
    assertTrue(browser.text(".set-up-step").contains("Calm record"));
    assertEquals(
        browser.text(".set-up-step").contains("Still to do") || browser.count(".health .doubt") > 0
            ? 0
            : 1,
        browser.count(".set-up-steps .done[href$=health]"),
        "ticked only when nothing is to do");
    browser.shots("set-up-health");
    browser.taskBegins();
    assertEquals(2, bench().upkeep().zeros().size());
    assertTrue(bench().upkeep().leakage(Direction.SUCTION).isPresent());
    assertTrue(bench().upkeep().calibration(Direction.SUCTION, "large").isPresent());

    step("plan", "#plan-form");
    browser.fill("#plan-part-head", "Lark");
    browser.fill("#plan-part-port", "intake 1");
    browser.fill("#plan-test_pressure", "28 inH2O");
    browser.fill("#plan-set_up-valve_heads", "1.94 in");
    browser.fill("#plan-ladder-lifts", "0.15, 0.3, 0.45, 0.6");
    browser.click("#plan-replace");
    browser.click("#plan-form .keep");
    browser.await("written", () -> browser.text("#plan-said").equals("plan.json is written"));

    browser.taskDone("plan", 9);
    step("repeat", "#repeat-form");
    browser.click("#repeat-form .keep");
    for (int fitting = 1; fitting <= 6; fitting++) {
      String asked = "Fitting " + fitting + " of 6";
      browser.await(
          asked, () -> browser.shown("#ready") && browser.text(".asks").startsWith(asked));
      if (fitting == 2) {
        browser.shots("set-up-repeat");
      }
      browser.click("#ready");
    }
    awaitEnd("Repeatability");
    browser.taskDone("repeatability, six fittings", 8);
    assertEquals(1, bench().upkeep().repeatability().orElseThrow().from().size());

    browser.open(page, "#capture");
    take("before", "received");
    browser.taskBegins();
    take("after", "changed");
    browser.taskDone("lift test", 5);
    browser.click(".last a");
    browser.await("its points", () -> browser.count(".page > table tbody tr") == 4);
    assertFalse(browser.text(".page").contains("no calm record"), "judged against the bench's own");

    browser.open(page, "#change/before=before&after=after");
    browser.await("differences", () -> browser.count(".outcome") == 4);
    // The truth at 0.6 in: the short side gives up, some 8 per cent are lost.
    assertTrue(browser.text(".page").contains("loss"), browser.text(".page"));
    browser.click("#report");
    browser.await("the frame", () -> browser.count("iframe") == 1);
    browser.driver.switchTo().frame(browser.one("iframe"));
    browser.await("the report", () -> browser.count("svg") > 0);
    browser.driver.switchTo().defaultContent();
    assertEquals(List.of(), browser.complaints(), "each order is shown to be taken, too");
    assertTrue(
        browser.taken.containsAll(
            List.of(
                "/api/listen",
                "/api/plan",
                "/api/simulated-bench",
                "/api/start",
                "/api/upkeep calibrate",
                "/api/upkeep mounted",
                "/api/upkeep ready",
                "/api/upkeep zero")),
        "" + browser.taken);
    aCopiedBenchIsSettled();
  }

  /**
   * The question stands in place of what it is needed for; the same one, moved, and another one.
   */
  private void aCopiedBenchIsSettled() throws IOException {
    for (boolean same : new boolean[] {true, false}) {
      Path copy = Files.createDirectory(data.resolve(same ? "moved" : "copied"));
      for (String name :
          List.of("bench.json", "plan.json", "plates.json", "calibrations", "calm")) {
        copy(data.resolve(name), copy.resolve(name));
      }
      Path file = copy.resolve("bench.json");
      try (PageServer there = PageServer.start(0, copy, file, Drivers.shipped())) {
        browser.open(there, "");
        browser.await("asked", () -> browser.shown("#same-bench"));
        assertFalse(browser.shown("#start"), "nothing can be begun before");
        browser.click(".top nav a[href='#set-up']");
        step("zero", "#another-bench");
        assertFalse(browser.shown("#zero-form"), "nor there");
        if (same) {
          browser.shots("moved-bench");
        }
        browser.click(same ? "#same-bench" : "#another-bench");
        browser.await(
            "answered", () -> browser.shown(same ? "#zero-form" : ".set-up-step #settled"));
        assertEquals(
            same, BenchFile.read(file).identity().id().equals(bench().identity().id()), "its id");
        assertEquals(same, BenchFile.read(file).upkeep().equals(bench().upkeep()));
        assertFalse(BenchFile.isElsewhere(file, BenchFile.read(file)));
        browser.click(".top nav a[href='#capture']");
        browser.await("a test can be begun", () -> browser.shown("#start"));
        assertFalse(browser.shown("#same-bench"));
      }
    }
    assertEquals(List.of(), browser.complaints());
  }

  private static void copy(Path from, Path to) throws IOException {
    try (Stream<Path> all = Files.walk(from)) {
      for (Path each : all.toList()) {
        Files.copy(each, to.resolve(from.relativize(each).toString()));
      }
    }
  }

  @Test
  void aWholeJobByKeysAloneAndByTouchAlone() throws IOException {
    List<Hands> pairs = List.of(Hands.keys(browser), Hands.touch(browser));
    for (Hands hands : pairs) {
      String test = "test-" + (pairs.indexOf(hands) + 1);
      browser.open(page, "");
      browser.await("the line", () -> browser.text("#link").equals("● live"));
      if (browser.shown("#set-up-mine")) {
        hands.press("#set-up-mine");
        hands.press("#simulate");
        browser.await("the bench", () -> browser.text(".set-up-step").contains("equations"));
      } else {
        hands.press(".top nav a[href='#set-up']");
      }
      hands.press(".set-up-steps a[href='#set-up/zero']");
      Map<String, Zero> before = bench().upkeep().zeros(); // the end of this one, not of the last
      hands.press("#zero-form .keep");
      browser.await("a zero", () -> !bench().upkeep().zeros().equals(before));
      awaitEnd("Zero");
      hands.press(".set-up-steps a[href='#set-up/plan']");
      hands.type("#plan-part-head", "Lark");
      hands.type("#plan-part-port", "intake 1");
      hands.type("#plan-test_pressure", "28 inH2O");
      hands.type("#plan-set_up-valve_heads", "1.94 in");
      hands.type("#plan-ladder-lifts", "0.2, 0.4");
      hands.press("#plan-replace");
      hands.press("#plan-form .keep");
      browser.await("written", () -> browser.text("#plan-said").contains("is written"));
      hands.press(".top nav a[href='#capture']");
      browser.await("ready", () -> browser.shown("#start") && browser.one("#start").isEnabled());
      hands.press("#quick");
      hands.press("#start");
      browser.await("the end", () -> browser.text(".last h2").equals(test + " is finished"));
      hands.press(".last a");
      browser.await("points", () -> browser.count(".page > table tbody tr") == 2);
      hands.press(".page a[href^='#report']");
      browser.await("the report", () -> browser.count("#print") == 1);
    }
    assertTrue(Files.exists(data.resolve("test-2/datapackage.json")), "one by each");
    assertEquals(List.of(), browser.complaints());
  }

  private void mount(String plate) {
    browser.await(
        "the question for plate " + plate,
        () -> browser.shown("#mounted") && browser.text(".plate-name").equals("Plate " + plate));
    browser.click("#mounted");
  }

  private void take(String name, String head) {
    browser.await("the form", () -> browser.shown("#start") && browser.one("#start").isEnabled());
    browser.await("the plan", () -> browser.count("#plan option") == 1);
    browser.fill("#out", name);
    browser.choose("#head", head);
    if (!browser.one("#quick").isSelected()) {
      browser.click("#quick");
    }
    browser.click("#start");
    browser.await("the end", () -> browser.text(".last h2").equals(name + " is finished"));
  }

  @Test
  void aBenchItsPlatesAndAPlanAreMadeWithoutATextEditor() throws IOException {
    browser.open(page, "#set-up/bench");
    browser.await("an empty form", () -> browser.shown("#bench-name"));
    browser.fill("#bench-name", "Wall <b>bench</b>");
    browser.click("#bench-next-1");
    for (int i = 0; i < 3; i++) {
      browser.click("#add-instrument");
    }
    String[] sheets = {"two-channel-manometer", "dial-indicator", "room-air-station"};
    String[] names = {"gauge", "dial", "air"};
    for (int i = 0; i < 3; i++) {
      String at = ".instrument:nth-of-type(" + (i + 1) + ") ";
      browser.choose(at + ".field:nth-child(2) select", sheets[i]);
      browser.choose(at + ".field:nth-child(3) select", "simulated");
      browser.fill(at + ".field:nth-child(4) input", sheets[i]);
      browser.fill("#instrument-" + i, names[i]);
    }
    browser.click("#bench-next-2");
    gauge("use-test_pressure", "gauge.test_pressure", "-48 inH2O", "48 inH2O", "0.03 inH2O");
    gauge("use-lift", "dial.lift", "-1 mm", "25 mm", "0.01 mm");
    gauge("use-room_temperature", "air.temperature", "0 degC", "50 degC", "0.5 degC");
    gauge("use-room_pressure", "air.pressure", "800 hPa", "1100 hPa", "1 hPa");
    assertEquals(1, browser.count(".bench-picture .lit[data-part=room]"), "what is asked for");
    browser.click("#bench-next-3");
    browser.click("#add-range");
    browser.fill("#range-0", "large");
    browser.fill(".range .field:nth-child(3) input", "60 millimetre");
    gauge("drop-0", "gauge.element_drop", "-20 inH2O", "20 inH2O", "0.02 inH2O");
    browser.click("#bench-write");
    browser.await("what is wrong", () -> browser.text("#bench-said").contains("millimetre"));
    browser.shots("set-up-bench");
    browser.fill(".range .field:nth-child(3) input", "60 mm");
    browser.click("#bench-write");
    browser.await("written", () -> browser.text("#bench-said").contains("is written"));
    assertEquals("Wall <b>bench</b>", bench().name());

    step("plates", "#add-plate");
    browser.click("#add-plate");
    browser.fill("#plate-0", "old 150");
    browser.choose(".plate .field:nth-child(2) select", "flow");
    browser.fill(".plate .field:nth-child(3) input", "150 cfm");
    browser.fill(".plate .field:nth-child(4) input", "28 inH2O");
    browser.fill(".plate .field:nth-child(5) input", "1 %");
    browser.click("#plates-write");
    browser.await("written", () -> browser.text("#plates-said").contains("is written"));
    assertEquals("old 150", PlatesFile.read(data.resolve("plates.json")).get(0).name());
    browser.shots("set-up-plates");

    step("plan", "#plan-form");
    browser.await("the plan's step", () -> browser.text(".set-up-step").contains("no plan yet"));
    browser.fill("#plan-part-head", "Heron <b>4</b>");
    browser.fill("#plan-part-port", "cylinder 1");
    browser.fill("#plan-test_pressure", "28 inches");
    browser.fill("#plan-set_up-valve_heads", "1.94 in");
    browser.choose("#plan-usual", "0.05 0.6 0.05");
    browser.fill("#plan-ladder-to", "0.3");
    assertFalse(browser.shown("#plan-longest"), "what has a usual value is folded away");
    browser.click(".fold:has(#plan-longest) summary");
    browser.fill("#plan-longest", "40 s");
    browser.fill("#plan-name", "bench.json");
    assertFalse(browser.shown("#plan-replace"), "only a plan is written over");
    browser.fill("#plan-name", "made.json");
    browser.click("#plan-form .keep");
    browser.await("what is wrong", () -> browser.text("#plan-said").contains("inches"));
    browser.fill("#plan-test_pressure", "28 inH2O");
    browser.click("#plan-form .keep");
    browser.await("written", () -> browser.text("#plan-said").equals("made.json is written"));
    Plan plan = PlanFile.read(data.resolve("made.json"));
    assertEquals("Heron <b>4</b>", plan.part().head());
    assertEquals(6, plan.ladder().size());
    assertEquals(40, plan.longestSeconds());
    assertTrue(browser.shown("#plan-replace"), "now there is a plan of this name");
    browser.shots("set-up-plan");
    assertEquals(0, browser.number("document.querySelectorAll('main b').length"), "only text");
    browser.click(".term summary");
    assertTrue(browser.text(".term p").startsWith("Which head and port"), "what a plan is");
    assertTrue(browser.shown(".term-drawing"), "and a drawing of it");
    browser.open(page, "docs/plan-file.md");
    browser.await("the handbook", () -> browser.text("h1").equals("The plan"));
    browser.shots("handbook");
    assertTrue(Files.exists(data.resolve("bench.json")));
    browser.open(page, "#capture");
    browser.await("the form", () -> browser.count("#plan option") == 1);
    browser.shots("start");
    assertEquals(
        List.of(),
        browser.complaints().stream()
            .filter(each -> !each.contains("400") && !each.contains("422"))
            .toList());
  }

  /** A use's source with the ends of its gauge. */
  private void gauge(String id, String source, String low, String high, String limit) {
    browser.choose("#" + id, source);
    String fields = "fieldset:has(#" + id + ") .field:has(#" + id + ")";
    browser.fill(fields + " ~ .field input[placeholder^='e.g. -40']", low);
    browser.fill(fields + " ~ .field input[placeholder^='e.g. 40']", high);
    browser.fill(fields + " ~ .field input[placeholder='e.g. 0.02 inH2O']", limit);
  }

  @Test
  void theNextPortBeginsWithThePlanOfTheLastOne() throws IOException {
    InventedBench invented = new InventedBench(3, InventedBench.Errors.USUAL);
    TestCurve first =
        InventedBench.of(
            new Plan.Part("Heron", "chamber 1", "cylinder 1", "45 degrees", "job 7"),
            PortKind.EXHAUST,
            List.of(
                new Plan.ChangeNote(
                    "opened", "bowl", OptionalDouble.empty(), OptionalDouble.empty())),
            invented.run("first", Optional.empty(), lift -> 1));
    InventedFolders.write(
        data.resolve("first"), first, true, Instant.parse("2031-05-06T07:08:09Z"));

    browser.open(page, "#set-up/plan/first");
    browser.await("filled in", () -> value("#plan-part-port").equals("cylinder 1"));
    browser.await("offered", () -> browser.count("#plan-from option") == 2);
    browser.shots("set-up-plan-again");
    assertEquals("mm, cfm, inH2O", browser.text("#plan-units option"));
    browser.choose("#plan-units", "inch");
    browser.choose("#plan-units", "");
    browser.fill("#plan-part-port", "cylinder 2");
    browser.fill("#plan-name", "second.json");
    browser.click("#plan-form .keep");
    browser.await("written", () -> browser.text("#plan-said").equals("second.json is written"));

    Plan taken = first.plan();
    Plan second = PlanFile.read(data.resolve("second.json"));
    assertEquals("cylinder 2", second.part().port());
    assertEquals(taken.part().head(), second.part().head());
    assertEquals(taken.port(), second.port());
    assertEquals(taken.units(), second.units(), "neither all inch nor all metric");
    assertEquals(taken.ladder(), second.ladder());
    assertEquals(taken.setUp(), second.setUp());
    assertEquals(taken.reference(), second.reference());
    assertEquals(
        List.of(), second.changes(), "what was altered on cylinder 1 was not altered here");

    browser.await("offered too", () -> browser.count("#plan-from option") == 3);
    browser.choose("#plan-from", "plan?name=second.json");
    browser.await("filled in", () -> value("#plan-part-port").equals("cylinder 2"));
    browser.choose("#plan-from", "");
    browser.await("emptied", () -> value("#plan-part-port").isEmpty());
    assertEquals(List.of(), browser.complaints());
  }

  private static String value(String css) {
    return browser.one(css).getDomProperty("value");
  }
}
