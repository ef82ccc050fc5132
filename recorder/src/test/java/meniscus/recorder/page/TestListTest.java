package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.quantity.Unit;
import meniscus.recorder.archive.IndexEntry;
import meniscus.recorder.archive.TestSummary;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.Request;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Ten thousand tests, of which the page gets a leaf. */
class TestListTest {

  private static final int TESTS = 10_000;

  private final List<IndexEntry> all = new ArrayList<>();

  @BeforeEach
  void fill() {
    for (int i = 0; i < TESTS; i++) {
      TestSummary known =
          new TestSummary(
              "Heron " + i,
              Instant.parse("2031-01-01T00:00:00Z").plusSeconds(3600L * (TESTS - i)),
              new Plan.Units(Unit.INCH_LENGTH, Unit.CUBIC_FOOT_PER_MINUTE, Unit.INCH_OF_WATER),
              new Plan.Part(
                  "Heron", "chamber 1", i % 8 == 4 ? "west" : "east", "45 degrees", "job"),
              i % 4 == 0 ? PortKind.EXHAUST : PortKind.INTAKE,
              Direction.SUCTION,
              new TestSummary.Rungs(1, 7000, 0.05, 1e-4, 0.005, 60),
              List.of(i % 100 == 0 ? "opened the bowl" : "as received"),
              Optional.empty(),
              List.of(new TestSummary.Spot(0.005, 0.05 + i * 1e-6)),
              1,
              i % 10 == 0 ? 1 : 0);
      all.add(new IndexEntry("test-" + i, "", Optional.of(known), "", Optional.empty()));
    }
    all.add(new IndexEntry("broken", "", Optional.empty(), "a table is cut off", Optional.empty()));
  }

  private ObjectNode leaf(String query) throws HttpError {
    Map<String, List<String>> members = new HashMap<>();
    for (String each : query.split("&")) {
      String[] pair = each.split("=", 2);
      members.put(pair[0], List.of(pair[pair.length - 1].replace("%20", " ")));
    }
    return TestList.leaf(
        all,
        new Request(
            "GET /api/test-list", members, new byte[0], "", Optional.empty(), Optional.empty()),
        entry -> JsonOut.object().put("name", entry.name()));
  }

  private static String first(ObjectNode leaf) {
    return leaf.path("tests").path(0).path("name").asText();
  }

  @Test
  void aLeafIsSmallAndSaysHowManyThereAre() throws HttpError {
    ObjectNode leaf = leaf("");
    assertEquals(TESTS + 1, leaf.path("total").asInt());
    assertEquals(50, leaf.path("tests").size());
    assertTrue(leaf.toString().length() < 5_000, "not megabytes");
    assertEquals("test-10000", leaf.path("next_name").asText(), "the first that is free");
    assertEquals("test-50", first(leaf("from=50")));
    assertEquals(0, leaf("from=20000").path("tests").size());
  }

  @Test
  void allWordsMustStandSomewhere() throws HttpError {
    assertEquals(100, leaf("words=BOWL").path("total").asInt());
    assertEquals(50, leaf("words=bowl%20west").path("total").asInt());
    assertEquals("broken", first(leaf("words=cut%20off")));
    assertEquals(0, leaf("words=wren").path("total").asInt());
  }

  @Test
  void whatIsShownAndInWhichOrder() throws HttpError {
    assertEquals(2_500, leaf("show=exhaust").path("total").asInt());
    assertEquals(1_000, leaf("show=doubtful").path("total").asInt());
    assertEquals(1, leaf("show=damaged").path("total").asInt());
    assertEquals("test-0", first(leaf("sort=newest")));
    assertEquals("broken", first(leaf("sort=oldest")), "nobody knows when");
    assertEquals("broken", first(leaf("sort=name")));
    assertEquals("test-9999", first(leaf("sort=peak")));
  }

  @Test
  void nonsenseIsRefused() {
    for (String query : List.of("from=-1", "from=x", "show=all%20of%20it", "sort=sideways")) {
      assertThrows(HttpError.class, () -> leaf(query), query);
    }
  }
}
