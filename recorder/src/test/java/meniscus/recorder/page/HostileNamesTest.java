package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.record.Recorder;
import meniscus.recorder.session.TestRecorder;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;

/**
 * Names and notes that would be more than text, in every place of the page: no script of theirs
 * runs, the browser asks nobody but the page for anything (its own record of requests), and each is
 * shown letter by letter.
 */
@Tag("long")
class HostileNamesTest {

  @RegisterExtension static final Browser browser = Browser.thatTellsRequests();

  private static final String SCRIPT = "<script>window.ran='script'</script>";
  private static final String PICTURE =
      "\"><img src=http://192.0.2.1/a.png onerror=\"window.ran='picture'\">";
  private static final String QUOTES = "'};window.ran='quotes';//`${window.ran='tick'}` &lt;&amp;";
  private static final String STYLE =
      "<link rel=stylesheet href=//192.0.2.1/a.css><style>*{background:url(//192.0.2.1/b)}</style>";
  private static final String DRAWING = "<svg onload=window.ran='drawing'><iframe src=//192.0.2.1>";
  private static final String ADDRESS = "javascript:window.ran='address'";

  /** A right-to-left override, as in a file name that seems to be a picture. */
  private static final String TURNED = "port \u202egpj.exe";

  private static final String LONG = "W".repeat(3000);

  private static final String SEEN = "port \ufffdgpj.exe";

  /** Nobody answers there. */
  private static final String ELSEWHERE = "http://127.0.0.1:1/a.png";

  /** What text has become that it must not be; and what is wider than the window. */
  private static final String WRONG =
      "const wrong = window.ran ? ['ran: ' + window.ran] : [];"
          + "for (const node of document.body.querySelectorAll('*')) {"
          + "  const made = node.matches('script, link, style, object, embed')"
          + "    || node.matches('img') && new URL(node.src).pathname !== '/mark.svg'"
          + "    || node.matches('iframe') && !node.matches('.paper')"
          + "    || [...node.attributes].some((a) => a.name.startsWith('on')"
          + "      || /^\\s*javascript:/i.test(a.value) && a.name !== 'value');"
          + "  if (made) { wrong.push(node.outerHTML.slice(0, 120)); } }"
          + "if (document.body.textContent.includes('\\u202e')) { wrong.push('turned'); }"
          + "const root = document.documentElement;"
          + "if (root.scrollWidth > root.clientWidth + 1) { wrong.push('sideways'); }"
          + "return wrong;";

  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path data;
  private Optional<Stage> stage = Optional.empty();

  @AfterEach
  void close() throws IOException {
    if (stage.isPresent()) {
      stage.get().close();
    }
  }

  @Test
  void namesAreTextAndNothingButText() throws Exception {
    stage = Optional.of(new Stage(data));
    Path bench = data.resolve("bench.json");
    ObjectNode about = (ObjectNode) JSON.readTree(bench.toFile());
    about.put("name", DRAWING).put("notes", SCRIPT + STYLE);
    JSON.writeValue(bench.toFile(), about);
    Path plan = stage.get().plan("plan.json", "0.1, 0.3, 0.5");
    ObjectNode planned = (ObjectNode) JSON.readTree(plan.toFile());
    ObjectNode part = (ObjectNode) planned.get("part");
    part.put("head", SCRIPT).put("chamber", PICTURE).put("port", TURNED).put("state", QUOTES);
    part.put("valve_job", STYLE).put("customer_reference", LONG);
    ((ObjectNode) planned.get("set_up"))
        .put("plugged_holes", DRAWING)
        .put("indicator_touches", PICTURE);
    ArrayNode changes = planned.putArray("changes");
    changes
        .addObject()
        .put("what", SCRIPT)
        .put("where", PICTURE)
        .put("before", QUOTES)
        .put("after", ADDRESS);
    JSON.writeValue(plan.toFile(), planned);
    Files.writeString(data.resolve("plates.json"), plates());
    Scenario scenario = Scenario.demo();
    record("one", plan, new Mounted.Head(scenario.before()));
    record("two", plan, new Mounted.Head(scenario.after()));
    for (String text : List.of(PICTURE, TURNED, LONG)) {
      assertEquals(0, Recorder.run("", "note", data.resolve("one"), text).exitCode());
    }
    browser.requests();

    shown("#capture", DRAWING);
    shown("#tests", SCRIPT, PICTURE, DRAWING);
    shown("#test/one", SCRIPT, PICTURE, DRAWING, LONG, SEEN);
    shown("#change/before=one&after=two", SCRIPT);
    shown("#set-up/plates", SCRIPT);
    shown("#set-up/plan/one");
    browser.await("the plan's head", () -> anInputHolds(SCRIPT));
    shownInFrame("#report/test=one", SCRIPT, PICTURE, STYLE, QUOTES, DRAWING, LONG, SEEN);
    shownInFrame("#report/test=one&sheet=history", SCRIPT, PICTURE, LONG);
    shownInFrame("#report/test=one&sheet=head", SCRIPT, PICTURE);
    shownInFrame("#report/before=one&after=two", SCRIPT, PICTURE, QUOTES, ADDRESS);

    assertEquals(List.of(), browser.complaints());
    List<String> asked = browser.requests();
    assertTrue(asked.stream().filter(this::own).count() > 20, "its own are seen: " + asked);
    assertEquals(List.of(), asked.stream().filter(each -> !own(each)).toList());
    // And the record would tell: a page without the program's policy asks a closed port.
    browser.driver.get("about:blank");
    browser.driver.executeScript("new Image().src = arguments[0]", ELSEWHERE);
    browser.await("told", () -> browser.requests().contains(ELSEWHERE));
  }

  private boolean own(String address) {
    return address.startsWith(stage.orElseThrow().page.address().toString())
        || address.startsWith("data:")
        || address.equals("about:blank");
  }

  private boolean anInputHolds(String text) {
    return Boolean.TRUE.equals(
        browser.driver.executeScript(
            "return [...document.querySelectorAll('input')].some((e) => e.value === arguments[0])",
            text));
  }

  private void shown(String hash, String... texts) {
    browser.open(stage.orElseThrow().page, hash);
    whole(hash, texts);
  }

  private void shownInFrame(String hash, String... texts) {
    browser.open(stage.orElseThrow().page, hash);
    browser.await("a frame at " + hash, () -> browser.count("iframe.paper") == 1);
    whole(hash);
    browser.driver.switchTo().frame(browser.one("iframe.paper"));
    whole(hash, texts);
    browser.driver.switchTo().defaultContent();
  }

  /** All texts are there, and nothing that text must not become. */
  private void whole(String where, String... texts) {
    for (String text : texts) {
      browser.await(
          where + " shows " + text.substring(0, Math.min(40, text.length())),
          () ->
              Boolean.TRUE.equals(
                  browser.driver.executeScript(
                      "return document.body.textContent.includes(arguments[0])", text)));
    }
    assertEquals(List.of(), browser.driver.executeScript(WRONG), where);
  }

  private static String plates() throws IOException {
    ObjectNode plates = JSON.createObjectNode().put("meniscus", "plates/1");
    ObjectNode plate = plates.putArray("plates").addObject();
    plate.put("name", "20" + SCRIPT).put("bore", "20 mm").put("origin", "laboratory");
    plate.put("serial", PICTURE).put("certificate", STYLE);
    plate.putObject("coefficient").put("value", 0.611).put("standard_uncertainty", "0.25 %");
    return plates.toString();
  }

  private void record(String name, Path plan, Mounted head) throws Exception {
    new TestRecorder(
            new TestRecorder.Request(
                data.resolve("bench.json"),
                plan,
                data.resolve(name),
                Optional.empty(),
                true,
                false,
                new Feeds.Simulation(true, 5, head)),
            Drivers.shipped())
        .record(session -> {});
  }
}
