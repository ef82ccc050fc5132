package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.InetAddress;
import java.net.URI;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import meniscus.core.Needed;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.WindowType;

/**
 * The bench's page in one tab and a guest of the shop's network in another: 127.0.0.2 stands for
 * the network, so the guest's cookie and name are its own.
 */
@Tag("long")
class GuestPageTest {

  @RegisterExtension static final Browser browser = new Browser();

  @TempDir Path data;
  private final List<String> codes = new CopyOnWriteArrayList<>();
  private Stage stage;
  private URI shop;
  private String bench;
  private String guest;

  @BeforeEach
  void share() throws IOException {
    stage = new Stage(data);
    try {
      shop = stage.page.share(InetAddress.getByName("127.0.0.2"), codes::add);
    } catch (IOException e) {
      Needed.that(false, "no second loopback address here: " + e.getMessage());
    }
    browser.driver.manage().deleteAllCookies();
    browser.complaints();
  }

  @AfterEach
  void end() throws IOException {
    if (guest != null) {
      browser.driver.switchTo().window(guest);
      browser.driver.close();
      browser.driver.switchTo().window(bench);
    }
    stage.close();
    browser.driver.get("about:blank");
  }

  private void atTheBench() {
    browser.driver.switchTo().window(bench);
  }

  private void asGuest() {
    browser.driver.switchTo().window(guest);
  }

  /** Opens the bench's page, and the guest's in a tab of its own. */
  private void openBoth() {
    bench = browser.driver.getWindowHandle();
    browser.open(stage.page, "");
    browser.await("the bench's page is in charge", () -> inCharge());
    browser.driver.switchTo().newWindow(WindowType.TAB);
    guest = browser.driver.getWindowHandle();
    browser.size(1366, 768);
    browser.driver.get(shop.toString());
    browser.await("the question for the code", () -> browser.shown("#code"));
  }

  private boolean inCharge() {
    return browser.text("#link").equals("● live")
        && !browser.shown("#take")
        && !browser.shown("#take-here");
  }

  private void type(String code) {
    browser.fill("#code", code);
    browser.click("#code-form .keep");
  }

  private void letIn() {
    type(codes.get(codes.size() - 1));
    browser.await("the page", () -> browser.text("#link").equals("● live"));
  }

  @Test
  void aCodeLetsOneBrowserInAndAWrongOneSaysSo() throws Exception {
    openBoth();
    assertFalse(browser.shown("nav"), "nothing of the page is there before the code");
    browser.shots("guest-code");
    type("AAAA-AAAA");
    browser.await("refused", () -> browser.text("#said").contains("not the code"));
    String code = codes.get(0);
    letIn();
    assertEquals(2, codes.size(), "the terminal shows a new code");
    browser.driver.navigate().refresh();
    browser.await("still let in", () -> browser.text("#link").equals("● live"));
    browser.driver.manage().deleteAllCookies();
    browser.driver.navigate().refresh();
    browser.await("asked again", () -> browser.shown("#code"));
    type(code);
    browser.await("a used code lets nobody in", () -> browser.text("#said").contains("not the"));
  }

  @Test
  void aGuestWatchesUntilTheBenchAllowsMoreAndTakesItBack() throws Exception {
    StagedFeed feed = StagedFeed.of(data.resolve("bench.json"), false, 10, 3);
    stage.run("try-1", stage.plan("plan.json", "0.1, 0.2, 0.3"), feed, false);
    openBoth();
    letIn();
    browser.await("averaging", () -> !browser.text("#seconds").isEmpty());
    assertFalse(browser.shown("#keep"), "a guest has no button that keeps");
    assertEquals("Ask for charge", browser.text("#take"));
    browser.pedal(0);
    browser.space(0);
    browser.shot("guest-watches");
    Accessible.check(browser, "a guest watches");
    browser.click("#take");
    browser.await("asked", () -> browser.text(".sentence").contains("must agree"));

    atTheBench();
    browser.await("asked for at the bench", () -> browser.shown("#guests"));
    browser.shot("guest-asks");
    Accessible.check(browser, "a guest asks for charge");
    assertTrue(browser.text("#guests").contains("127.0.0."), browser.text("#guests"));
    assertEquals("Keep", browser.text("#keep strong"), "the guest's keys did nothing");
    assertEquals(0, stage.keeps.get());
    browser.click("#guests .keep");
    browser.await("given", () -> browser.text("#guests").contains("may take charge"));
    assertTrue(browser.shown("#keep"), "the bench stays in charge until it is taken");

    asGuest();
    browser.await("allowed", () -> browser.text("#take").equals("Take charge"));
    browser.click("#take");
    browser.await("in charge", () -> browser.shown("#keep"));
    browser.pedal(0);
    browser.await("rung 1", () -> browser.count(".ladder .kept, .ladder .doubtful") == 1);
    assertEquals(1, stage.keeps.get());

    atTheBench();
    browser.await("the bench watches", () -> browser.shown("#take"));
    browser.click("#guests button");
    browser.await("taken back", () -> !browser.shown("#guests"));
    browser.await("in charge again, without another word", () -> browser.shown("#keep"));

    asGuest();
    browser.await("a watcher again", () -> browser.text("#take").equals("Ask for charge"));
    assertFalse(browser.shown("#keep"));
    assertEquals(List.of(), browser.complaints());
  }

  @Test
  void aGuestStartsNoTestAndWritesNothing() throws Exception {
    stage.plan("plan.json", "0.1, 0.2");
    openBoth();
    letIn();
    browser.await("the form", () -> browser.shown("#start"));
    assertFalse(browser.one("#start").isEnabled());
    assertTrue(browser.shown("#take-here"), "and can ask for charge here as well");
    browser.driver.get(shop + "#set-up/zero");
    browser.await("the zero", () -> browser.shown("#zero-form .keep"));
    browser.click("#zero-form .keep");
    browser.await("refused", () -> browser.text(".set-up .fault").contains("guests watch"));
    browser.click("#take-here");
    browser.await("asked", () -> browser.text("#charge").contains("must agree"));
    atTheBench();
    browser.await("asked for at the bench", () -> browser.shown("#guests"));
    browser.click("#guests button:not(.keep)");
    browser.await("refused", () -> !browser.shown("#guests"));
    asGuest();
    browser.await("may ask again", () -> browser.text("#take-here").equals("Ask for charge"));
  }

  @Test
  void aSecondPageOfTheBenchTakesChargeBeforeItStartsATest() throws Exception {
    stage.plan("plan.json", "0.1");
    bench = browser.driver.getWindowHandle();
    browser.open(stage.page, "");
    browser.await("in charge", () -> inCharge());
    browser.driver.switchTo().newWindow(WindowType.TAB);
    guest = browser.driver.getWindowHandle();
    browser.size(1366, 768);
    browser.driver.get(stage.page.address().toString());
    browser.await("watching", () -> browser.shown("#take-here"));
    browser.shot("second-page");
    Accessible.check(browser, "a second page watches");
    browser.await("the plan", () -> browser.count("#plan option") == 1);
    browser.click("#start");
    browser.await("why not", () -> browser.text(".start form .fault").contains("Take charge"));
    browser.click("#take-here");
    browser.await("in charge", () -> !browser.shown("#take-here"));
    atTheBench();
    browser.await("the first one watches", () -> browser.shown("#take-here"));
  }
}
