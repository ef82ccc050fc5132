package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The dry run from the page: what {@code look --bench --plan} says, before a test is started. */
@Tag("long")
class CheckFirstPageTest {

  private static final String CLIENT = "dry-run-client";

  @TempDir private Path temp;

  private Path data;

  @BeforeEach
  void folder() throws Exception {
    data = Files.createDirectory(temp.resolve("data"));
  }

  private static String asked(RawHttp http, String plan) throws Exception {
    return http.post("/api/check", "{\"client\":\"" + CLIENT + "\",\"plan\":\"" + plan + "\"}");
  }

  private static List<String> said(String answer, String state) throws Exception {
    assertEquals(200, RawHttp.status(answer), answer);
    JsonNode checks =
        new ObjectMapper().readTree(answer.substring(answer.indexOf("\r\n\r\n"))).get("checks");
    List<String> said = new ArrayList<>();
    for (JsonNode check : checks) {
      if (check.get("state").asText().equals(state)) {
        said.add(check.get("area").asText() + ": " + check.get("text").asText());
      }
    }
    return said;
  }

  @Test
  void aPlanThatFitsHasNoFaultAndEveryGaugeIsHeard() throws Exception {
    try (Stage stage = new Stage(data)) {
      stage.plan("plan.json", "0.1, 0.2");
      String answer = asked(new RawHttp(stage.page), "plan.json");
      assertEquals(List.of(), said(answer, "fault"));
      assertEquals(
          6, said(answer, "good").stream().filter(one -> one.startsWith("channels")).count());
    }
  }

  @Test
  void aLiftBeyondTheDialIsAFaultBeforeAnyAirMoves() throws Exception {
    try (Stage stage = new Stage(data)) {
      stage.plan("deep.json", "0.1, 1.4");
      RawHttp http = new RawHttp(stage.page);
      List<String> faults = said(asked(http, "deep.json"), "fault");
      assertTrue(
          faults.stream().anyMatch(one -> one.contains("a lift of 1.4 in is asked")), "" + faults);
      assertFalse(http.get("/api/state").contains("\"averaging\""), "no test was begun");
      assertEquals(200, RawHttp.status(asked(http, "deep.json")), "the lines are free again");
    }
  }

  @Test
  void aPlanThatIsNotThereIsRefusedInWords() throws Exception {
    try (Stage stage = new Stage(data)) {
      String answer = asked(new RawHttp(stage.page), "none.json");
      assertEquals(404, RawHttp.status(answer), answer);
      assertTrue(answer.contains("there is no plan"), answer);
    }
  }

  /**
   * Names that another system takes for a device, or that lead out, are refused before any look.
   */
  @Test
  void aNameOfADeviceIsRefused() throws Exception {
    try (Stage stage = new Stage(data)) {
      for (String name : List.of("CON", "nul.json", "../plan.json")) {
        assertEquals(400, RawHttp.status(asked(new RawHttp(stage.page), name)), name);
      }
    }
  }
}
