package meniscus.recorder.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import meniscus.recorder.record.Recorder;
import meniscus.recorder.record.Recorder.Ran;

/**
 * What is said of each lift against what the simulation wrote into truth.json. A claim is false
 * where a gain or a loss is stated and the truth has another word for that lift, or where "no real
 * change" is stated and the true change is larger than the margin stated beside it.
 */
final class Claims {

  private Claims() {}

  /** What a command prints that must succeed. */
  static String run(Object... arguments) {
    Ran ran = Recorder.run("", arguments);
    assertEquals(0, ran.exitCode(), ran.err());
    return ran.out();
  }

  /**
   * @param large a change of this share that is left open counts as wrong too [1]
   */
  static List<String> wrong(JsonNode truth, JsonNode told, double large) {
    assertEquals(truth.size(), told.size());
    List<String> wrong = new ArrayList<>();
    for (int i = 0; i < truth.size(); i++) {
      JsonNode is = truth.get(i);
      JsonNode said = told.get(i);
      assertEquals(is.get("lift").asDouble(), said.get("lift").asDouble(), 1e-9);
      double before = is.get("before").asDouble();
      double change = is.get("after").asDouble() - before;
      String outcome = said.get("outcome").asText();
      boolean isFalse =
          switch (outcome) {
            case "gain", "loss" -> !outcome.equals(is.get("outcome").asText());
            case "no real change" -> Math.abs(change) > said.get("margin").asDouble();
            case "cannot tell yet" -> Math.abs(change / before) > large;
            default -> throw new AssertionError(outcome);
          };
      if (isFalse) {
        wrong.add(
            String.format(
                Locale.ROOT,
                "%s at %.3f, where it changed by %.2f %%",
                outcome,
                is.get("lift").asDouble(),
                100 * change / before));
      }
    }
    return wrong;
  }
}
