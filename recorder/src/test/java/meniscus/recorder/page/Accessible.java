package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.deque.html.axecore.providers.EmbeddedResourceAxeProvider;
import java.io.IOException;
import java.util.List;
import java.util.Map;
import javax.naming.OperationNotSupportedException;
import org.openqa.selenium.By;
import org.openqa.selenium.WebElement;

/** WCAG 2.2 AA, as far as the axe engine can tell. */
final class Accessible {

  private static final Map<String, Object> ALL =
      Map.of(
          "type", "tag", "values", List.of("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"));

  /** All of axe's rules of WCAG A and AA that ask for colours. */
  private static final Map<String, Object> COLOURS =
      Map.of("type", "rule", "values", List.of("color-contrast", "link-in-text-block"));

  /**
   * Each violation in words. What passes is not listed. Nothing is fetched once more beforehand:
   * that is for rules of films and of style sheets' media queries, and the latter's is
   * experimental.
   */
  private static final String RUN =
      "const [only, done] = arguments;"
          + "axe.run(document, {runOnly: only, resultTypes: ['violations'], preload: false}).then("
          + "  (found) => done(found.violations.map((rule) => `${rule.id}: ${rule.nodes[0].html}"
          + " ${rule.nodes[0].failureSummary}`).join('\\n')), (fault) => done(String(fault)));";

  private Accessible() {}

  static void check(Browser browser, String what) {
    check(ALL, browser, what);
  }

  /** What may differ between the light and the dark scheme, which have one page. */
  static void checkColours(Browser browser, String what) {
    check(COLOURS, browser, what);
  }

  private static void check(Map<String, Object> only, Browser browser, String what) {
    engine(browser);
    assertEquals("", browser.driver.executeAsyncScript(RUN, only), what);
  }

  /** Half a megabyte: put into a document once, and into each of its frames. */
  private static void engine(Browser browser) {
    if (browser.number("window.axe ? 1 : 0") == 0) {
      try {
        browser.driver.executeScript(new EmbeddedResourceAxeProvider().getScript());
      } catch (IOException | OperationNotSupportedException e) {
        throw new AssertionError("the axe engine is not in its jar", e);
      }
      // Frames answer the document they are in, whatever their origin is.
      browser.driver.executeScript("axe.configure({allowedOrigins: ['<unsafe_all_origins>']})");
    }
    for (WebElement frame : browser.driver.findElements(By.cssSelector("iframe"))) {
      browser.driver.switchTo().frame(frame);
      engine(browser);
      browser.driver.switchTo().parentFrame();
    }
  }
}
