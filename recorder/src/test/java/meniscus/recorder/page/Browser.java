package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BiConsumer;
import java.util.function.BooleanSupplier;
import java.util.logging.Level;
import java.util.stream.Stream;
import meniscus.core.Needed;
import meniscus.recorder.record.Recorder;
import org.junit.jupiter.api.extension.AfterAllCallback;
import org.junit.jupiter.api.extension.BeforeAllCallback;
import org.junit.jupiter.api.extension.ExtensionContext;
import org.openqa.selenium.By;
import org.openqa.selenium.ElementNotInteractableException;
import org.openqa.selenium.OutputType;
import org.openqa.selenium.WebDriverException;
import org.openqa.selenium.WebElement;
import org.openqa.selenium.WindowType;
import org.openqa.selenium.chrome.ChromeDriver;
import org.openqa.selenium.chrome.ChromeDriverService;
import org.openqa.selenium.chrome.ChromeOptions;
import org.openqa.selenium.logging.LogEntry;
import org.openqa.selenium.logging.LogType;
import org.openqa.selenium.logging.LoggingPreferences;

/**
 * A tab of a real Chromium without a window, from before the first test of a class to after its
 * last; the browser itself serves all classes of a process, for to start one costs as much as many
 * a test. Skipped aloud where there is none; in CI there must be one.
 */
final class Browser implements BeforeAllCallback, AfterAllCallback {

  /** Of 768 rows, below its browser's bars. */
  private static final int[] LAPTOP = {1366, 625};

  private static final int[] PHONE = {390, 844};

  /** A large screen and a tablet besides. */
  private static final int[][] SIZES = {LAPTOP, {1920, 1080}, {1024, 600}, PHONE};

  /** What does not fit or is covered, in words; nothing in a page that fits. */
  private static final String FITS =
      "const wrong = []; const main = document.querySelector('main');"
          + "for (const node of [document.documentElement, main]) {"
          + "  if (node && node.scrollWidth > node.clientWidth + 1) {"
          + "    const right = node.getBoundingClientRect().left + node.clientWidth;"
          + "    const over = [...node.querySelectorAll('*')].find((e) => !e.parentElement?.closest('table')"
          + "      && e.getBoundingClientRect().right > right + 1);"
          + "    wrong.push('sideways: ' + (over ? over.outerHTML.slice(0, 120) : node.nodeName)); } }"
          + "for (const node of document.querySelectorAll('button, a.keep, nav a, select, main input')) {"
          + "  const box = (node.closest('label') ?? node).getBoundingClientRect();"
          + "  if (node.offsetParent && box.height < 43.5 && matchMedia('(max-width: 820px)').matches) {"
          + "    wrong.push('small: ' + node.outerHTML.slice(0, 100) + ' ' + box.height); } }"
          + "for (const node of document.querySelectorAll('.capture button')) {"
          + "  const box = node.getBoundingClientRect(); const [x, y] = [box.left + box.width / 2, box.bottom - 4];"
          + "  const at = document.elementFromPoint(x, y);"
          + "  if (node.offsetParent && box.top >= 0 && y < innerHeight && at !== node && !node.contains(at)"
          + "      && !document.querySelector('dialog[open]') && !node.closest('.said-list')) {"
          + "    wrong.push('covered: ' + node.outerHTML.slice(0, 100)); } }"
          + "for (const drawing of document.querySelectorAll('main svg')) {"
          + "  const words = [...drawing.querySelectorAll('text')].map((e) =>"
          + "    [e.textContent, e.getBoundingClientRect()]).filter(([, r]) => r.width > 0);"
          + "  words.forEach(([a, r], i) => words.slice(i + 1).forEach(([b, s]) => {"
          + "    if (r.left < s.right - 1 && s.left < r.right - 1 && r.top < s.bottom - 3"
          + "        && s.top < r.bottom - 3) { wrong.push('upon each other: ' + a + ', ' + b); } })); }"
          + "return wrong.slice(0, 5).join('\\n');";

  private static final Path SHOTS = Path.of("target", "screenshots");
  private static final Path SAVED = Path.of("target", "saved");

  /** Of each state in all sizes; without it those of which axe is asked. To paint one costs. */
  private static final boolean ALL_PICTURES = Boolean.getBoolean("meniscus.pictures");

  /** The machine may be busy with other tests. */
  private static final Duration PATIENCE = Duration.ofSeconds(180);

  private static final long SHORTEST_LOOK_NANOS = 40_000_000;
  private static final long LONGEST_LOOK_NANOS = 600_000_000;

  /** Presses and keys of whoever uses the page, over reloads; a list opens and is chosen from. */
  private static final String COUNT =
      "const add = (what, n) => { sessionStorage[what] = n + Number(sessionStorage[what] ?? 0); };"
          + "addEventListener('pointerdown', () => add('tally-presses', 1), true);"
          + "addEventListener('keydown', (e) => e.repeat || add('tally-keys', 1), true);"
          + "addEventListener('change', (e) => e.target.tagName === 'SELECT'"
          + " && add('tally-presses', 2), true);";

  /**
   * The middle of an element in sight, or in words why it cannot be pressed; what is pressed next
   * is noted.
   */
  private static final String MIDDLE =
      "const node = document.querySelector(arguments[0]); if (!node) { return 'not there'; }"
          + "const middle = () => { const box = node.getClientRects()[0]; return box && box.width > 0"
          + "  && [(Math.max(box.left, 0) + Math.min(box.right, innerWidth)) / 2,"
          + "    (Math.max(box.top, 0) + Math.min(box.bottom, innerHeight)) / 2]; };"
          + "const free = (at) => at && node.contains(document.elementFromPoint(...at));"
          + "if (!free(middle())) { node.scrollIntoView({block: 'center', behavior: 'instant'}); }"
          + "const at = middle(); if (!at) { return 'not shown'; }"
          + "if (!free(at)) { return 'below ' + document.elementFromPoint(...at)?.outerHTML; }"
          + "window.pressed = false; addEventListener('click', (e) => {"
          + "  window.pressed = e.target.closest(arguments[0]) !== null; }, {capture: true, once: true});"
          + "return at;";

  private static final String REACH =
      "(() => { const [field, keys] = [document.querySelector(arguments[0]), arguments[1]];"
          + "if (!field?.checkVisibility() || field.disabled || field.readOnly) { return 0; }"
          + "field.focus(); field.select(); sessionStorage['tally-keys'] = keys"
          + " + Number(sessionStorage['tally-keys'] ?? 0); return 1; })()";

  private static final String CHOOSE =
      "const [css, value] = arguments; const list = document.querySelector(css);"
          + "const option = [...list?.options ?? []].find((each) => each.value === value);"
          + "if (!option || option.disabled || list.matches(':disabled')) { return 'not offered'; }"
          + "list.focus(); if (!option.selected) { option.selected = true;"
          + "  for (const type of ['input', 'change']) {"
          + "    list.dispatchEvent(new Event(type, {bubbles: true})); } } return 'chosen';";

  /** What the watch below says of an order that the page shows to be taken. */
  private static final String TAKEN = "taken at once: ";

  /**
   * Says of each order of a hand, and of what is fetched for a new view, whether the page shows
   * that it was taken while it is on its way; and holds it back while a test wants that. A hand's
   * order is sent within the handling of its click, key or choice.
   */
  private static final String WATCH =
      "const byHand = ['click', 'submit', 'keydown', 'change']; const real = window.fetch;"
          + "const views = /^.api.(change|test-list.words|rung.(?!.*from=))/;"
          + "window.fetch = async (...asked) => {"
          + " const order = asked[1]?.method === 'POST' && byHand.includes(window.event?.type);"
          + " if (order || views.test(asked[0])) {"
          + "  await new Promise((done) => setTimeout(done));"
          + "  const body = asked[1]?.body; const what = asked[0].split('?')[0] + ' '"
          + "    + (typeof body === 'string' ? JSON.parse(body).do ?? '' : '');"
          + "  document.querySelector('[aria-busy=true]') ? console.info('"
          + TAKEN
          + "' + what) : console.warn('nothing shows that it was taken: ' + what); }"
          + " await window.held; return real(...asked); };";

  /** Live charts are painted anew four times a second at most: nobody watches them flow. */
  private static final String CALM =
      "const paint = window.requestAnimationFrame; window.requestAnimationFrame ="
          + " (draw) => setTimeout(() => paint(draw), 250);";

  /** DevTools' events of a request, and of a socket, that is about to be sent or opened. */
  private static final String ASKED = "Network\\.(requestWillBeSent|webSocketCreated)";

  private static final Path TASKS = Path.of("target", "page-tasks.csv");

  /** The browsers of this process, by whether they tell their requests; they end with it. */
  private static final Map<Boolean, ChromeDriver> STARTED = new ConcurrentHashMap<>();

  private final boolean tellsRequests;
  private final boolean paintsEachFrame;
  ChromeDriver driver;

  /** Orders so far that the page showed to be taken while they were on their way. */
  final Set<String> taken = new TreeSet<>();

  private long taskSince = System.nanoTime();

  Browser() {
    this(false, false);
  }

  private Browser(boolean tellsRequests, boolean paintsEachFrame) {
    this.tellsRequests = tellsRequests;
    this.paintsEachFrame = paintsEachFrame;
  }

  /** One that keeps a record of all that it asks of any address. */
  static Browser thatTellsRequests() {
    return new Browser(true, false);
  }

  /** One that paints as often as for a person, where that is what is measured. */
  static Browser thatPaintsEachFrame() {
    return new Browser(false, true);
  }

  @Override
  public void beforeAll(ExtensionContext tests) {
    driver = STARTED.computeIfAbsent(tellsRequests, Browser::started);
    driver.switchTo().newWindow(WindowType.TAB);
    for (String source : List.of(COUNT, WATCH, paintsEachFrame ? "" : CALM)) {
      driver.executeCdpCommand("Page.addScriptToEvaluateOnNewDocument", Map.of("source", source));
    }
    size(1366, 768);
  }

  private static ChromeDriver started(boolean tellsRequests) {
    Optional<Path> chromium =
        found(
            // The same engine without what draws a window: two thirds of the processor's time.
            "/usr/bin/chromium-headless-shell",
            "/usr/bin/chromium",
            "/usr/bin/chromium-browser",
            "/usr/bin/google-chrome");
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
        "--disable-sync",
        "--disable-audio-output",
        // Each page opened would start one process for itself and another in reserve.
        "--renderer-process-limit=1",
        "--disable-features=SpareRendererForSitePerProcess");
    // What a page gives to be saved lay in the folder of the sources else.
    options.setExperimentalOption(
        "prefs", Map.of("download.default_directory", SAVED.toAbsolutePath().toString()));
    LoggingPreferences logs = new LoggingPreferences();
    logs.enable(LogType.BROWSER, Level.ALL);
    if (tellsRequests) {
      logs.enable(LogType.PERFORMANCE, Level.ALL);
    }
    options.setCapability("goog:loggingPrefs", logs);
    ChromeDriver driver =
        new ChromeDriver(
            new ChromeDriverService.Builder()
                .usingDriverExecutable(chromedriver.get().toFile())
                .build(),
            options);
    Runtime.getRuntime().addShutdownHook(new Thread(() -> quit(driver), "end of the browser"));
    return driver;
  }

  /** A driver that ends at the same moment leaves its browser behind. */
  private static void quit(ChromeDriver driver) {
    Object browser = driver.getCapabilities().getCapability("goog:processID");
    try {
      driver.quit();
    } finally {
      ProcessHandle.of(((Number) browser).longValue()).ifPresent(ProcessHandle::destroyForcibly);
    }
  }

  /** A task begins here: nothing is counted yet. */
  void taskBegins() {
    driver.executeScript(
        "for (const what of ['presses', 'keys']) { sessionStorage['tally-' + what] = 0; }");
    taskSince = System.nanoTime();
  }

  /**
   * A task is done: what it took goes into a table that the build keeps, and the next one begins.
   *
   * @param most presses that it may take
   */
  void taskDone(String task, int most) throws IOException {
    long presses = number("Number(sessionStorage['tally-presses'] ?? 0)");
    long keys = number("Number(sessionStorage['tally-keys'] ?? 0)");
    Files.writeString(
        TASKS,
        String.format(
            Locale.ROOT,
            "%s,%d,%d,%.1f%n",
            task,
            presses,
            keys,
            (System.nanoTime() - taskSince) * 1e-9),
        StandardOpenOption.CREATE,
        StandardOpenOption.APPEND);
    assertTrue(presses <= most, task + " took " + presses + " presses, not " + most);
    taskBegins();
  }

  /** Closes all tabs but the browser's first, and forgets who was let in and what was said. */
  @Override
  public void afterAll(ExtensionContext tests) {
    if (driver == null) {
      return;
    }
    List<String> tabs = List.copyOf(driver.getWindowHandles());
    driver.executeCdpCommand("Network.clearBrowserCookies", Map.of());
    for (String tab : tabs.subList(1, tabs.size())) {
      driver.switchTo().window(tab).close();
    }
    driver.switchTo().window(tabs.get(0));
    complaints();
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

  /**
   * Waits for the page to be so; looks the less often the longer it takes, for each look costs the
   * browser and this process some of the time that what is waited for needs.
   */
  void await(String what, BooleanSupplier so) {
    long begun = System.nanoTime();
    Optional<WebDriverException> last = Optional.empty();
    while (true) {
      try {
        if (so.getAsBoolean()) {
          return;
        }
        last = Optional.empty();
      } catch (WebDriverException notYet) {
        last = Optional.of(notYet);
      }
      long waited = System.nanoTime() - begun;
      if (waited > PATIENCE.toNanos()) {
        throw new AssertionError(what + ": not within " + PATIENCE, last.orElse(null));
      }
      LockSupport.parkNanos(Math.min(LONGEST_LOOK_NANOS, SHORTEST_LOOK_NANOS + waited / 8));
    }
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
    return (int) number("document.querySelectorAll(arguments[0]).length", css);
  }

  /** Whether one of them can be seen: there, not hidden, neither clear as glass nor of no size. */
  boolean shown(String css) {
    return number(
            "[...document.querySelectorAll(arguments[0])].filter((node) =>"
                + " node.checkVisibility({opacityProperty: true, visibilityProperty: true})"
                + " && [node, ...node.querySelectorAll('*')].some((part) =>"
                + " part.offsetWidth !== 0 && part.offsetHeight !== 0)).length",
            css)
        > 0;
  }

  long number(String script, Object... arguments) {
    return ((Number) driver.executeScript("return " + script, arguments)).longValue();
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

  void tab() {
    key("Tab", "Tab", 9, 0);
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

  /**
   * Pictures as of a state of the page, and what axe says on a laptop in light, a phone in dark.
   */
  void shots(String name) throws IOException {
    pictures(name, Accessible::check);
  }

  /**
   * In all sizes nothing to be scrolled to sideways, nothing too small for a finger, no words of a
   * drawing upon each other; and pictures of it, of a laptop and a phone in dark too.
   */
  void state(String name) throws IOException {
    pictures(name, (browser, at) -> {});
  }

  private void pictures(String name, BiConsumer<Browser, String> laptopAndPhone)
      throws IOException {
    scheme("light");
    for (int[] size : SIZES) {
      size(size[0], size[1]);
      String at = name + "-" + size[0] + "x" + size[1] + "-";
      await("no flash over it", () -> !shown("#flash"));
      if (ALL_PICTURES || size == LAPTOP) {
        shot(at + "light");
      }
      fits(at + "light");
      if (size == LAPTOP) {
        laptopAndPhone.accept(this, at + "light");
      }
      if (size == PHONE || ALL_PICTURES && size == LAPTOP) {
        scheme("dark");
        shot(at + "dark");
        if (size == PHONE) {
          laptopAndPhone.accept(this, at + "dark");
        }
        scheme("light");
      }
    }
    size(1366, 768);
  }

  private void fits(String at) {
    assertEquals("", driver.executeScript(FITS), at);
  }

  /**
   * Clicks the middle of what is there, once it is there to stay and nothing lies upon it: a true
   * press of the mouse, at a quarter of what the driver's own costs.
   */
  void click(String css) {
    await(
        css,
        () -> {
          Object middle = driver.executeScript(MIDDLE, css);
          if (!(middle instanceof List<?> at)) {
            throw new ElementNotInteractableException(css + ": " + middle);
          }
          for (String type : List.of("mouseMoved", "mousePressed", "mouseReleased")) {
            driver.executeCdpCommand(
                "Input.dispatchMouseEvent",
                type.equals("mouseMoved")
                    ? Map.of("type", type, "x", at.get(0), "y", at.get(1))
                    : Map.of(
                        "type",
                        type,
                        "x",
                        at.get(0),
                        "y",
                        at.get(1),
                        "button",
                        "left",
                        "clickCount",
                        1));
          }
          // What has moved away meanwhile is pressed anew, and that was no press of the task;
          // another document has no such note.
          return number("window.pressed === false ? (sessionStorage['tally-presses'] -= 1, 0) : 1")
              == 1;
        });
  }

  /**
   * Puts a text in place of what stands in a field, as typing does, but all at once; as many keys
   * are counted as it has letters.
   */
  void fill(String css, String text) {
    assertTrue(number(REACH, css, text.length()) == 1, css + " can be written into");
    if (text.isEmpty()) {
      key("Delete", "Delete", 46, 0);
    } else {
      driver.executeCdpCommand("Input.insertText", Map.of("text", text));
    }
  }

  /** Chooses by value, as a person does: nothing happens where that is chosen already. */
  void choose(String css, String value) {
    assertEquals("chosen", driver.executeScript(CHOOSE, css, value), css + ": " + value);
  }

  /** What the browser complained of: refused by policy, uncaught, not found, not shown as taken. */
  List<String> complaints() {
    List<LogEntry> said = driver.manage().logs().get(LogType.BROWSER).getAll();
    for (LogEntry one : said) {
      int at = one.getMessage().indexOf(TAKEN);
      if (at >= 0) {
        taken.add(one.getMessage().substring(at + TAKEN.length()).replace("\"", "").strip());
      }
    }
    return said.stream()
        .filter(entry -> entry.getLevel().intValue() >= Level.WARNING.intValue())
        .map(LogEntry::getMessage)
        .toList();
  }

  /** Addresses that were asked for since this was last called, by DevTools' own events. */
  List<String> requests() {
    return driver.manage().logs().get(LogType.PERFORMANCE).getAll().stream()
        .map(entry -> Recorder.json(entry.getMessage()).path("message"))
        .filter(message -> message.path("method").asText().matches(ASKED))
        .map(
            message -> message.at("/params/request/url").asText(message.at("/params/url").asText()))
        .toList();
  }
}
