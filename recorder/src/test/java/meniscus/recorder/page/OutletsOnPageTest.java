package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import meniscus.core.instrument.Settings;
import meniscus.core.outlet.Fact;
import meniscus.core.outlet.LiveValues;
import meniscus.core.outlet.Outlet;
import meniscus.core.outlet.OutletHost;
import meniscus.core.outlet.OutletLost;
import meniscus.core.outlet.OutletPlugin;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.outlet.Outlets;
import meniscus.recorder.page.bench.BenchOfPage;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;

/** What waits for a receiver is a line on the first screen, and no longer than it waits. */
@Tag("long")
class OutletsOnPageTest {

  @RegisterExtension static final Browser browser = new Browser();

  @TempDir Path data;

  @AfterEach
  void leave() {
    browser.driver.get("about:blank");
  }

  /** Is away, and then stores all. */
  private static final class Broker implements OutletPlugin {

    private volatile boolean there;

    @Override
    public String id() {
      return "mqtt";
    }

    @Override
    public String summary() {
      return "of this test";
    }

    @Override
    public int apiVersion() {
      return API_VERSION;
    }

    @Override
    public Outlet open(Settings settings, OutletHost host) throws OutletLost {
      if (!there) {
        throw new OutletLost("the broker 192.0.2.7:8883: no connection (Connection refused)");
      }
      return new Outlet() {
        @Override
        public void send(Fact fact, String json) {
          host.answered("{\"stored_up_to\": " + fact.place() + "}");
        }

        @Override
        public void show(LiveValues now, String json) {
          // Nobody looks.
        }

        @Override
        public void close() {
          // Nothing is open.
        }
      };
    }
  }

  @Test
  void factsThatWaitAreToldUntilTheyAreStored() throws Exception {
    Path bench =
        Files.writeString(
            data.resolve("bench.json"),
            BenchOfPage.text("bench.json")
                .replace(
                    "\"bench/1\"",
                    "\"bench/1.1\", \"outlets\": [{\"name\": \"shop\", \"plugin\": \"mqtt\"}]"));
    Files.writeString(data.resolve("plan.json"), BenchOfPage.text("plan.json"));
    StringBuilder facts = new StringBuilder();
    for (int place = 1; place <= 3; place++) {
      facts.append(
          "{\"meniscus\":\"fact/1\",\"key\":\"bench/plate/"
              + place
              + "\",\"place\":"
              + place
              + ",\"kind\":\"plate_checked\",\"at\":\"2031-05-06T07:08:09Z\","
              + "\"bench_id\":null,\"test_id\":null}\n");
    }
    Path folder = Files.createDirectory(data.resolve(Outlets.FOLDER));
    Files.writeString(folder.resolve("facts.jsonl"), facts);
    Broker broker = new Broker();
    try (Outlets outlets = Outlets.start(bench, List.of(broker));
        PageServer page = PageServer.start(0, data, bench, Drivers.shipped(), outlets)) {
      awaitLine(page);
      assertTrue(browser.text("#outlets").endsWith("(Connection refused)"));
      browser.shots("outlets");
    }
    try (Outlets outlets = Outlets.start(bench, List.of(broker)); // pauses are short again
        PageServer page = PageServer.start(0, data, bench, Drivers.shipped(), outlets)) {
      awaitLine(page);
      broker.there = true;
      browser.await("nothing waits", () -> browser.text("#outlets").isEmpty());
    }
  }

  private static void awaitLine(PageServer page) {
    browser.open(page, "");
    browser.await(
        "the line",
        () -> browser.text("#outlets").startsWith("outlet shop: 3 facts are not stored yet: "));
  }
}
