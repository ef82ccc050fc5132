package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.deque.html.axecore.results.Rule;
import com.deque.html.axecore.selenium.AxeBuilder;
import java.util.List;
import java.util.stream.Collectors;

/** WCAG 2.2 AA, as far as the axe engine can tell. */
final class Accessible {

  private static final List<String> TAGS =
      List.of("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa");

  /** All of axe's rules of WCAG A and AA that ask for colours. */
  private static final List<String> COLOURS = List.of("color-contrast", "link-in-text-block");

  private Accessible() {}

  static void check(Browser browser, String what) {
    check(ours().withTags(TAGS), browser, what);
  }

  /** What may differ between the light and the dark scheme, which have one page. */
  static void checkColours(Browser browser, String what) {
    check(ours().withRules(COLOURS), browser, what);
  }

  private static void check(AxeBuilder axe, Browser browser, String what) {
    List<Rule> violations = axe.analyze(browser.driver).getViolations();
    assertEquals(
        "", violations.stream().map(Accessible::text).collect(Collectors.joining("\n")), what);
  }

  /**
   * In the page itself: otherwise the engine opens a window of its own and gives it one second to
   * appear, which a busy machine does not keep. That is for pages with frames of other origins.
   */
  @SuppressWarnings("deprecation")
  private static AxeBuilder ours() {
    return new AxeBuilder().setLegacyMode(true);
  }

  private static String text(Rule rule) {
    return rule.getId()
        + ": "
        + rule.getNodes().get(0).getHtml()
        + " "
        + rule.getNodes().get(0).getFailureSummary();
  }
}
