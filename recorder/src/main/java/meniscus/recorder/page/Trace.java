package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayDeque;
import java.util.Deque;
import meniscus.recorder.json.JsonOut;

/** The live flow of the last half minute, so that a page opened later shows it too. */
final class Trace {

  private static final double SPAN_SECONDS = 31;
  private static final int MOST = 2_000;

  private static final String[] NAMES = {"at", "low", "mean", "high", "pressure"};

  private final Deque<double[]> rows = new ArrayDeque<>();

  synchronized void add(ObjectNode state) {
    double at = state.path("at").asDouble(Double.NaN);
    if (Double.isNaN(at) || !rows.isEmpty() && rows.peekLast()[0] >= at) {
      return;
    }
    rows.addLast(
        new double[] {
          at,
          state.path("live_low").asDouble(Double.NaN),
          state.path("live").asDouble(Double.NaN),
          state.path("live_high").asDouble(Double.NaN),
          state.path("pressure").asDouble(Double.NaN)
        });
    while (rows.size() > MOST || at - rows.peekFirst()[0] > SPAN_SECONDS) {
      rows.removeFirst();
    }
  }

  synchronized ObjectNode json() {
    ObjectNode json = JsonOut.object();
    for (int column = 0; column < NAMES.length; column++) {
      ArrayNode values = json.putArray(NAMES[column]);
      for (double[] row : rows) {
        if (Double.isNaN(row[column])) {
          values.addNull();
        } else {
          values.add(row[column]);
        }
      }
    }
    return json;
  }
}
