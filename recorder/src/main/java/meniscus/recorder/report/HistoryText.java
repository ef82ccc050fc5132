package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.compare.History.State;

/** Histories for the terminal: each state under the one that it was made of. */
public final class HistoryText {

  private HistoryText() {}

  public static List<String> lines(List<PortHistory> ports) {
    List<String> lines = new ArrayList<>();
    String job = "";
    for (PortHistory port : ports) {
      String reference = port.plan().part().customerReference();
      if (!reference.isBlank() && !reference.equals(job)) {
        job = reference;
        lines.add("Job " + job);
      }
      lines.add(port.heading());
      add(lines, port, port.history().states().get(0), "  ");
      port.history().followUps().forEach(found -> lines.add("  " + found.sentence()));
      port.best().ifPresent(best -> lines.add("  " + best));
      lines.add("");
    }
    return lines;
  }

  private static void add(List<String> lines, PortHistory port, State state, String indent) {
    lines.add(indent + state.name() + " (" + port.tested(state) + ")");
    port.changes(state).forEach(change -> lines.add(indent + "  - " + change));
    port.gains(state).forEach(gain -> lines.add(indent + "  " + gain));
    for (State child : port.history().children(state)) {
      add(lines, port, child, indent + "    ");
    }
  }
}
