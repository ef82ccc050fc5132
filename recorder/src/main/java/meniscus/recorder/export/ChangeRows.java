package meniscus.recorder.export;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Expected;
import meniscus.core.compare.History.State;
import meniscus.core.compare.Outcome;
import meniscus.core.lift.Amount;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Unit;
import meniscus.recorder.report.PortHistory;
import meniscus.recorder.report.TestRead;

/** One row a change note, with what the step that it belongs to did. */
public final class ChangeRows {

  private ChangeRows() {}

  /**
   * @param units of lift, the same for all rows
   */
  public static Table of(List<PortHistory> ports, Plan.Units units) {
    String lift = units.lift().symbol();
    List<Column> columns =
        List.of(
            Column.text("test"),
            Column.time("at"),
            Column.text("head"),
            Column.text("chamber"),
            Column.text("port"),
            Column.text("port_kind"),
            Column.text("customer_reference"),
            Column.text("state"),
            Column.text("from"),
            Column.text("what"),
            Column.text("where"),
            Column.text("before"),
            Column.text("after"),
            Column.number("left", lift),
            Column.number("at_least", lift),
            Column.text("with"),
            Column.text("expected"),
            Column.number("expected_from", lift),
            Column.text("came"),
            Column.text("average_outcome"),
            Column.number("average_change", "%"),
            Column.number("average_decided_by", "%"),
            Column.text("gains_at"),
            Column.text("losses_at"));
    List<List<Object>> rows = new ArrayList<>();
    for (PortHistory port : ports) {
      for (State state : port.history().states()) {
        state.changes().forEach(note -> rows.add(row(port, state, note, units.lift())));
      }
    }
    return new Table(columns, rows);
  }

  private static List<Object> row(PortHistory port, State state, Plan.ChangeNote note, Unit lift) {
    TestRead test = port.testsOf(state).get(0);
    Plan.Part part = test.curve().plan().part();
    Optional<Comparison> step = state.step();
    return Arrays.asList(
        test.curve().name(),
        test.at(),
        part.head(),
        part.chamber(),
        part.port(),
        test.curve().plan().port().word(),
        part.customerReference(),
        state.name(),
        state.parent().isPresent()
            ? port.history().states().get(state.parent().getAsInt()).name()
            : "",
        note.what(),
        note.where(),
        note.before().map(Amount::text).orElse(""),
        note.after().map(Amount::text).orElse(""),
        note.left().map(left -> number(left.metres(), lift)).orElse(null),
        note.left().map(left -> number(left.atLeastM(), lift)).orElse(null),
        state.changes().stream()
            .filter(other -> other != note)
            .map(Plan.ChangeNote::what)
            .collect(Collectors.joining("; ")),
        note.expect().map(expect -> expect.effect().word()).orElse(""),
        note.expect().map(expect -> number(expect.fromLiftM(), lift)).orElse(null),
        state.expected().stream()
            .filter(expected -> expected.change() == note)
            .map(Expected::came)
            .map(Expected.Came::word)
            .findFirst()
            .orElse(""),
        step.map(c -> c.mean().outcome().word()).orElse(""),
        step.map(c -> Table.number(100 * c.mean().relative())).orElse(null),
        step.map(c -> Table.number(100 * c.mean().relativeHalf())).orElse(null),
        step.map(c -> lifts(c, Outcome.GAIN, lift)).orElse(""),
        step.map(c -> lifts(c, Outcome.LOSS, lift)).orElse(""));
  }

  private static Object number(double metres, Unit lift) {
    return Table.number(lift.fromSi(metres));
  }

  private static Object number(OptionalDouble metres, Unit lift) {
    return number(metres.orElse(Double.NaN), lift);
  }

  private static String lifts(Comparison step, Outcome outcome, Unit lift) {
    return step.lifts(outcome).stream()
        .map(metres -> Table.number(lift.fromSi(metres)).toString())
        .collect(Collectors.joining("; "));
  }
}
