package meniscus.recorder.report;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import meniscus.core.compare.History.Best;
import meniscus.core.compare.History.State;
import meniscus.core.lift.Plan;
import meniscus.recorder.folder.TypedFolder;

/** The histories of a job's ports as one HTML file. */
public final class HistoryPage {

  private final Markup out = new Markup();
  private final List<TypedFolder> typed;
  private final Ahead ahead;

  private HistoryPage(List<TypedFolder> typed, Ahead ahead) {
    this.typed = typed;
    this.ahead = ahead;
  }

  public static String of(List<PortHistory> ports) {
    return of(ports, List.of(), Ahead.NONE);
  }

  /**
   * @param typed curves from elsewhere: drawn with the port they are of, and listed
   * @param ahead what is planned and aimed at
   */
  public static String of(List<PortHistory> ports, List<TypedFolder> typed, Ahead ahead) {
    HistoryPage page = new HistoryPage(typed, ahead);
    page.write(ports);
    return page.out.toString();
  }

  private void write(List<PortHistory> ports) {
    Set<String> heads = new LinkedHashSet<>();
    Set<String> references = new LinkedHashSet<>();
    for (PortHistory port : ports) {
      heads.add(port.plan().part().head());
      references.add(port.plan().part().customerReference());
    }
    references.remove("");
    String title = "History: " + String.join(", ", heads);
    Report.head(out, title);
    out.open("body").line();
    out.leaf("h1", title);
    if (!references.isEmpty()) {
      out.quiet("Reference " + String.join(", ", references));
    }
    out.quiet(
        "Each step is compared with the state it was made of. If nothing had changed at all, one"
            + " false gain or loss or more would come up in a port's whole history in at most 5 of"
            + " 100 cases; the intervals here are therefore wider than where two tests are compared"
            + " by themselves.");
    next(ports);
    ports.forEach(this::port);
    Lessons.of(ports).forEach(section -> section("h2", section));
    typed();
    List<TestRead> all = ports.stream().flatMap(port -> port.tests().stream()).toList();
    NotesSection.write(out, all);
    Cautions.write(out);
    out.close().line().close().line();
  }

  private void next(List<PortHistory> ports) {
    out.leaf("h2", NextWords.HEADING).open("ol");
    NextWords.of(ports).forEach(line -> out.leaf("li", line));
    out.close().line();
  }

  private void port(PortHistory port) {
    out.leaf("h2", port.heading());
    port.history().followUps().forEach(found -> out.leaf("p", found.sentence()));
    port.best().ifPresent(best -> out.leaf("p", best, "class", "answer"));
    out.open("ul", "class", "tree").line();
    state(port, port.history().states().get(0));
    out.close().line();
    chart(port);
    PortLessons.of(port, ahead).forEach(section -> section("h3", section));
  }

  private void section(String heading, Lessons.Section section) {
    out.leaf(heading, section.heading());
    list(section.lines());
    out.line();
  }

  private void typed() {
    List<String> lines = TypedText.lines(typed);
    if (!lines.isEmpty()) {
      out.leaf("h2", lines.get(0));
      list(lines.subList(1, lines.size()));
    }
  }

  private void state(PortHistory port, State state) {
    out.open("li").open("div", "class", "together");
    out.open("p").leaf("strong", Report.capital(state.name()));
    out.text(" · " + port.tested(state)).close();
    list(port.changes(state));
    port.gains(state).forEach(gain -> out.leaf("p", Report.capital(gain)));
    out.close();
    List<State> children = port.history().children(state);
    if (!children.isEmpty()) {
      out.open("ul", "class", "tree").line();
      children.forEach(child -> state(port, child));
      out.close();
    }
    out.close().line();
  }

  private void list(List<String> texts) {
    if (!texts.isEmpty()) {
      out.open("ul");
      texts.forEach(text -> out.leaf("li", text));
      out.close();
    }
  }

  /** The first state, the latest, and the best where it is neither. */
  private void chart(PortHistory port) {
    List<State> states = port.history().states();
    State first = states.get(0);
    State last = states.get(states.size() - 1);
    Optional<State> best = port.history().best().map(Best::state);
    List<CurveChart.Curve> curves = new ArrayList<>();
    Plan.Units units = port.plan().units();
    curves.add(curve(first, Canvas.Look.EARLIER, units));
    if (last != first) {
      curves.add(curve(last, Canvas.Look.LATER, units));
    }
    best.filter(state -> state != first && state != last)
        .ifPresent(state -> curves.add(curve(state, Canvas.Look.THIRD, units)));
    typed.stream()
        .filter(one -> TypedText.isOf(one.typed(), port.plan()))
        .map(one -> ExternalCurveSection.drawn(one.typed().curve(), first.tests().get(0)))
        .forEach(curves::add);
    CurveChart.draw(
        out,
        new CurveChart.Drawing(
            "flow against valve lift, state by state",
            320,
            "valve lift, " + units.lift().symbol(),
            "flow, " + units.flow().symbol(),
            curves,
            List.of()));
  }

  private static CurveChart.Curve curve(State state, Canvas.Look look, Plan.Units units) {
    return new CurveChart.Curve(
        state.name() + ": " + state.tests().get(0).name(),
        look,
        state.tests().get(0).curve().stream().map(p -> Drawings.point(p, units)).toList());
  }
}
