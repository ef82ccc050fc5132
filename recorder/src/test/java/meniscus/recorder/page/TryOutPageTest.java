package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** The first choice of who begins: to look at a whole job on an invented bench. */
@Tag("long")
class TryOutPageTest extends PageFromNothing {

  /** Which step of the try-out is told; more than there are once it has ended. */
  private static int step() {
    Matcher told = Pattern.compile("^(\\d+) of 10\\.").matcher(browser.text("#try-out"));
    return told.find() ? Integer.parseInt(told.group(1)) : 99;
  }

  private static boolean half() {
    return browser.count(".ladder .kept, .ladder .doubtful") >= 6;
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
    assertEquals(List.of(), browser.complaints());
  }
}
