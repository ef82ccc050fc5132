package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.TestCurve;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.file.PlatesFile;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** What is written into files from forms of the page. */
@Tag("long")
class FormsPageTest extends PageFromNothing {

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
