package meniscus.recorder.page;

import static meniscus.recorder.page.RawHttp.status;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.page.bench.BenchOfPage;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What is written over from the page: plans alone, and the one before stays. */
class PlansOnPageTest {

  @TempDir Path data;
  private PageServer page;
  private RawHttp http;
  private String plan;

  @BeforeEach
  void serve() throws IOException {
    page = PageServer.start(0, data, data.resolve("north.json"), Drivers.shipped());
    http = new RawHttp(page);
    plan = BenchOfPage.text("plan.json");
  }

  @AfterEach
  void close() {
    page.close();
  }

  private int write(String name, String replace) throws IOException {
    return status(
        http.post(
            "/api/plan",
            "{\"name\":\"" + name + "\",\"plan\":" + plan + ",\"replace\":" + replace + "}"));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "{\"meniscus\": \"bench/1\"}",
        "{\"meniscus\": \"truth/1\", \"lifts\": []}",
        "{\"lifts\": []}",
        "no JSON",
        ""
      })
  void whatIsNoPlanIsNotWrittenOver(String other) throws IOException {
    Path file = Files.writeString(data.resolve("truth.json"), other);
    assertEquals(409, write("truth.json", "true"));
    assertEquals(409, write("truth.json", "false"));
    assertEquals(other, Files.readString(file));
  }

  @Test
  void theNamesOfTheBenchsFilesAreNotForPlans() throws IOException {
    for (String name : new String[] {"north.json", "plates.json", "bench.json"}) {
      assertEquals(400, write(name, "true"), name);
      assertFalse(Files.exists(data.resolve(name)), name);
    }
  }

  @Test
  void aPlanIsReplacedWhenAskedAndTheOldOneStaysBesideIt() throws IOException {
    assertEquals(200, write("intake.json", "false"));
    String first = Files.readString(data.resolve("intake.json"));
    assertEquals(409, write("intake.json", "false"));
    plan = plan.replace("28 inH2O", "25 inH2O");
    assertEquals(200, write("intake.json", "true"));
    assertEquals(first, Files.readString(data.resolve("intake.json.earlier-1")));
    assertTrue(Files.readString(data.resolve("intake.json")).contains("25"));
    assertEquals(200, write("intake.json", "true"));
    assertTrue(Files.exists(data.resolve("intake.json.earlier-2")));
    String plans = http.get("/api/plans");
    assertFalse(plans.contains("earlier"), plans);
  }
}
