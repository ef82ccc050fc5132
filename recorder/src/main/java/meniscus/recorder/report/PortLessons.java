package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import meniscus.core.compare.Aims;
import meniscus.core.compare.Bests;
import meniscus.core.compare.Bests.Best;
import meniscus.core.compare.Bests.Next;
import meniscus.core.compare.Difference;
import meniscus.core.compare.Expected;
import meniscus.core.compare.FindingThread;
import meniscus.core.compare.History.State;
import meniscus.core.compare.Series;
import meniscus.core.finding.InUnits;
import meniscus.recorder.report.Lessons.Section;

/** What the history of one port teaches, as sentences under headings. */
final class PortLessons {

  private final PortHistory port;
  private final InUnits in;

  private PortLessons(PortHistory port) {
    this.port = port;
    this.in = new InUnits(port.plan().units());
  }

  static List<Section> of(PortHistory port, Ahead ahead) {
    PortLessons lessons = new PortLessons(port);
    List<Section> sections = new ArrayList<>();
    if (port.history().states().size() > 1) {
      sections.add(new Section("Best so far, lift by lift", lessons.bests()));
    }
    sections.add(new Section("Found by tests themselves, change after change", lessons.threads()));
    ahead
        .series()
        .ifPresent(
            series ->
                sections.add(new Section("Series: " + series.name(), lessons.series(series))));
    ahead.aims().ifPresent(aims -> sections.add(lessons.aims(aims)));
    return sections.stream().filter(section -> !section.lines().isEmpty()).toList();
  }

  private List<String> bests() {
    Bests bests = Bests.of(port.history());
    List<String> lines = new ArrayList<>();
    bests.lifts().forEach(best -> lines.add(in.lift(best.liftM()) + ": " + said(best)));
    bests
        .peak()
        .ifPresent(
            best ->
                lines.add("highest flow of all, at " + in.lift(best.liftM()) + ": " + said(best)));
    return lines;
  }

  private String said(Best best) {
    return in.flow(best.flow().flowM3PerS(), best.flow().halfM3PerS())
        + ", "
        + tested(best.state())
        + best.next().map(PortLessons::said).orElse("; no other state was tested there");
  }

  private static String said(Next next) {
    if (next.difference().isEmpty()) {
      return "; cannot be compared with " + next.state().name() + ", the next";
    }
    Difference over = next.difference().get();
    return next.toldApart()
        ? "; told apart from " + next.state().name() + ", the next: " + Sentences.withHalf(over)
        : "; not told apart from " + next.state().name() + ", the next";
  }

  /** {@code change 2 (2031-05-08: bowl-2)}. */
  private String tested(State state) {
    return state.name() + " (" + port.tested(state) + ")";
  }

  private List<String> threads() {
    return FindingThread.of(port.history()).stream().map(this::said).toList();
  }

  private String said(FindingThread thread) {
    List<String> stages = new ArrayList<>();
    boolean before = false;
    for (FindingThread.Stage stage : thread.stages()) {
      String where = stage.liftsM().isEmpty() ? "" : " at " + in.lifts(stage.liftsM());
      stages.add(
          stage.found()
              ? (before ? "again with " : "with ") + stage.state().name() + where
              : "not found with " + stage.state().name());
      before = stage.found();
    }
    return Report.capital(word(thread)) + ": " + String.join("; ", stages);
  }

  /** The kind with its meaning. */
  private static String word(FindingThread thread) {
    return switch (thread.kind()) {
      case TURNOVER -> "turnover (flow falls with more lift)";
      case SWEEP_DIFFERENCE -> "sweep difference (closing and opening do not agree)";
      case UNSTEADINESS -> "unsteadiness (the air is rougher than at the lifts beside it)";
      default -> thread.kind().word();
    };
  }

  private List<String> series(Series series) {
    List<String> lines = new ArrayList<>();
    List<String> left = new ArrayList<>();
    for (Series.Standing standing : series.against(port.history())) {
      Series.Planned planned = standing.planned();
      if (standing.reached().isPresent()) {
        lines.add("done: " + planned.name() + ", " + tested(standing.reached().get()));
      } else {
        left.add(
            "to come: "
                + planned.name()
                + " ("
                + planned.changes().stream()
                    .map(
                        note ->
                            ChangeWords.of(note, port.plan().units().lift())
                                + note.expect()
                                    .map(e -> ", " + Expected.wanted(e, in) + " expected")
                                    .orElse(""))
                    .collect(Collectors.joining("; "))
                + ")");
      }
    }
    lines.addAll(left);
    series
        .unplanned(port.history())
        .forEach(state -> lines.add("not in the series: " + tested(state)));
    lines.add(
        left.isEmpty()
            ? "Nothing is left to do."
            : left.size() + " of " + series.states().size() + " planned states are left to do.");
    return lines;
  }

  private Section aims(Aims aims) {
    TestRead newest = port.tests().get(port.tests().size() - 1);
    return new Section(
        AimWords.heading(aims) + ", against the newest test, " + newest.curve().name(),
        AimWords.of(aims, newest.curve()));
  }
}
