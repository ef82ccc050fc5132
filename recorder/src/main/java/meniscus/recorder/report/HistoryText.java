package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import meniscus.core.compare.History.State;

/** Histories for the terminal: each state under the one that it was made of. */
public final class HistoryText {

  private HistoryText() {}

  public static List<String> lines(List<PortHistory> ports) {
    return lines(ports, Ahead.NONE);
  }

  public static List<String> lines(List<PortHistory> ports, Ahead ahead) {
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
      PortLessons.of(port, ahead).forEach(section -> add(lines, section, "  "));
      lines.add("");
    }
    Lessons.of(ports).forEach(section -> add(lines, section, ""));
    add(lines, new Lessons.Section(NextWords.HEADING, NextWords.of(ports)), "");
    return lines;
  }

  private static void add(List<String> lines, Lessons.Section section, String indent) {
    lines.add(indent + section.heading());
    section.lines().forEach(line -> lines.add(indent + "  " + line));
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
