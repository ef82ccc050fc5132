package meniscus.recorder.page;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.logging.Level;
import java.util.stream.Stream;
import meniscus.core.Needed;
import org.junit.jupiter.api.extension.AfterAllCallback;
import org.junit.jupiter.api.extension.BeforeAllCallback;
import org.junit.jupiter.api.extension.ExtensionContext;
import org.openqa.selenium.By;
import org.openqa.selenium.OutputType;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;
import org.openqa.selenium.logging.LogEntry;
import org.openqa.selenium.logging.LogType;
import org.openqa.selenium.logging.LoggingPreferences;
import org.openqa.selenium.support.ui.WebDriverWait;

/**
 * A real Chromium without a window, from before the first test of a class to after its last.
 * Skipped aloud where there is none; in CI there must be one.
 */
final class Browser implements BeforeAllCallback, AfterAllCallback {

  private static final Path SHOTS = Path.of("target", "screenshots");

  /** The machine may be busy with other tests. */
  private static final Duration PATIENCE = Duration.ofSeconds(180);

  ChromeDriver driver;

  @Override
  public void beforeAll(ExtensionContext tests) {
    Optional<Path> chromium =
        found("/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome");
    Optional<Path> chromedriver =
        found("/usr/bin/chromedriver", "/usr/lib/chromium-browser/chromedriver");
    if (chromium.isEmpty() || chromedriver.isEmpty()) {
      Needed.that(false, "no Chromium with chromedriver: the page is not tested in a browser");
    }
    ChromeOptions options = new ChromeOptions();
    options.setBinary(chromium.get().toString());
    options.addArguments(
        "--headless=new",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--disable-dev-shm-usage",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync");
    LoggingPreferences logs = new LoggingPreferences();
    logs.enable(LogType.BROWSER, Level.ALL);
    options.setCapability("goog:loggingPrefs", logs);
    driver =
        new ChromeDriver(
            new ChromeDriverService.Builder()
                .usingDriverExecutable(chromedriver.get().toFile())
                .build(),
            options);
    size(1366, 768);
  }

  @Override
  public void afterAll(ExtensionContext tests) {
    if (driver != null) {
      driver.quit();
    }
  }

  private static Optional<Path> found(String... paths) {
    return Stream.of(paths).map(Path::of).filter(Files::isExecutable).findFirst();
  }

  void size(int width, int height) {
    driver.executeCdpCommand(
        "Emulation.setDeviceMetricsOverride",
        Map.of("width", width, "height", height, "deviceScaleFactor", 1, "mobile", false));
  }

  /**
   * @param scheme dark or light
   */
  void scheme(String scheme) {
    driver.executeCdpCommand(
        "Emulation.setEmulatedMedia",
        Map.of("features", List.of(Map.of("name", "prefers-color-scheme", "value", scheme))));
  }

  void open(PageServer page, String hash) {
    driver.get("about:blank");
    driver.get(page.address() + hash);
  }

  /** Waits for the page to be so. */
  void await(String what, java.util.function.BooleanSupplier so) {
    new WebDriverWait(driver, PATIENCE, Duration.ofMillis(40))
        .withMessage(what)
        .ignoring(org.openqa.selenium.WebDriverException.class)
        .until(any -> so.getAsBoolean());
  }

  WebElement one(String css) {
    return driver.findElement(By.cssSelector(css));
  }

  String text(String css) {
    return String.valueOf(
        driver.executeScript(
            "return document.querySelector(arguments[0])?.textContent ?? ''", css));
  }

  int count(String css) {
    return driver.findElements(By.cssSelector(css)).size();
  }

  boolean shown(String css) {
    return driver.findElements(By.cssSelector(css)).stream().anyMatch(WebElement::isDisplayed);
  }

  long number(String script) {
    return ((Number) driver.executeScript("return " + script)).longValue();
  }

  /** One key as the system sends it; held down it repeats. */
  void key(String key, String code, int virtualCode, int repeats) {
    for (int i = 0; i <= repeats; i++) {
      driver.executeCdpCommand(
          "Input.dispatchKeyEvent",
          Map.of(
              "type",
              key.equals(" ") ? "keyDown" : "rawKeyDown",
              "key",
              key,
              "code",
              code,
              "text",
              key.equals(" ") ? " " : "",
              "windowsVirtualKeyCode",
              virtualCode,
              "autoRepeat",
              i > 0));
    }
    driver.executeCdpCommand(
        "Input.dispatchKeyEvent",
        Map.of("type", "keyUp", "key", key, "code", code, "windowsVirtualKeyCode", virtualCode));
  }

  void pedal(int repeats) {
    key("PageDown", "PageDown", 34, repeats);
  }

  void space(int repeats) {
    key(" ", "Space", 32, repeats);
  }

  byte[] shot(String name) throws IOException {
    byte[] png = driver.getScreenshotAs(OutputType.BYTES);
    Files.createDirectories(SHOTS);
    Files.write(SHOTS.resolve(name + ".png"), png);
    return png;
  }

  /** Pictures of the page in both sizes and schemes, and what axe says of it. */
  void shots(String name) throws IOException {
    for (String scheme : List.of("light", "dark")) {
      scheme(scheme);
      Accessible.check(this, name + ", " + scheme);
      size(1920, 1080);
      shot(name + "-1920x1080-" + scheme);
      size(1366, 768);
      shot(name + "-1366x768-" + scheme);
    }
    scheme("light");
  }

  /** Clicks what is there, once it is there to stay. */
  void click(String css) {
    await(
        css,
        () -> {
          one(css).click();
          return true;
        });
  }

  /** Puts a text in place of what stands in a field, as typing does. */
  void fill(String css, String text) {
    WebElement field = one(css);
    field.clear();
    field.sendKeys(text);
  }

  /** Chooses by value, as a person does. */
  void choose(String css, String value) {
    one(css + " option[value='" + value + "']").click();
  }

  /** What the browser complained of: refused by policy, uncaught, not found. */
  List<String> complaints() {
    return driver.manage().logs().get(LogType.BROWSER).getAll().stream()
        .filter(entry -> entry.getLevel().intValue() >= Level.WARNING.intValue())
        .map(LogEntry::getMessage)
        .toList();
  }
}
