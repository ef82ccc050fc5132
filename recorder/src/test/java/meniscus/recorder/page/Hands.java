package meniscus.recorder.page;

import java.time.Duration;
import java.util.List;
import org.openqa.selenium.Keys;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.interactions.Actions;
import org.openqa.selenium.interactions.PointerInput;
import org.openqa.selenium.interactions.Sequence;

/** Somebody at the page who has one way to press things: a finger, or keys alone. */
interface Hands {

  /** More stops than any page has. */
  int MOST_STOPS = 300;

  /** Presses what is found by a selector; a box is ticked by it. */
  void press(String css);

  /** Writes into a field in place of what stands there. */
  void type(String css, String text);

  /** A finger; what is typed comes from the keyboard on the screen. */
  static Hands touch(Browser browser) {
    return new Hands() {
      @Override
      public void press(String css) {
        browser.await( // what is drawn anew meanwhile is looked for again
            css,
            () -> {
              WebElement node = browser.one(css);
              browser.driver.executeScript("arguments[0].scrollIntoView({block: 'center'})", node);
              PointerInput finger = new PointerInput(PointerInput.Kind.TOUCH, "finger");
              browser.driver.perform(
                  List.of(
                      new Sequence(finger, 0)
                          .addAction(
                              finger.createPointerMove(
                                  Duration.ZERO, PointerInput.Origin.fromElement(node), 0, 0))
                          .addAction(
                              finger.createPointerDown(PointerInput.MouseButton.LEFT.asArg()))
                          .addAction(
                              finger.createPointerUp(PointerInput.MouseButton.LEFT.asArg()))));
              return true;
            });
      }

      @Override
      public void type(String css, String text) {
        press(css);
        browser.await("focus on " + css, () -> focused(browser, css));
        write(browser, text);
      }
    };
  }

  /** Tab from one to the next, Enter and space; no pointer at all. */
  static Hands keys(Browser browser) {
    return new Hands() {
      @Override
      public void press(String css) {
        goTo(css);
        boolean box = browser.driver.switchTo().activeElement().getTagName().equals("input");
        new Actions(browser.driver).sendKeys(box ? Keys.SPACE : Keys.ENTER).perform();
      }

      @Override
      public void type(String css, String text) {
        goTo(css);
        write(browser, text);
      }

      private void goTo(String css) {
        browser.await(css, () -> browser.shown(css));
        for (int i = 0; i < MOST_STOPS; i++) {
          if (focused(browser, css)) {
            return;
          }
          browser.tab();
        }
        throw new AssertionError(css + " is not reached by the Tab key");
      }
    };
  }

  private static boolean focused(Browser browser, String css) {
    return Boolean.TRUE.equals(
        browser.driver.executeScript("return document.activeElement.matches(arguments[0])", css));
  }

  private static void write(Browser browser, String text) {
    new Actions(browser.driver)
        .keyDown(Keys.CONTROL)
        .sendKeys("a")
        .keyUp(Keys.CONTROL)
        .sendKeys(text)
        .perform();
  }
}
