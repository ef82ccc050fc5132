package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.List;
import java.util.Map;
import meniscus.core.bench.Zero;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** The same job for who has one way to press things. */
@Tag("long")
class OneHandedPageTest extends PageFromNothing {

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
}
