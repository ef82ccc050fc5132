package meniscus.recorder.report;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.quantity.Text;
import meniscus.recorder.file.TypedCurve;
import meniscus.recorder.folder.TypedFolder;

/** Curves typed from elsewhere in a history: listed, and never judged. */
public final class TypedText {

  private TypedText() {}

  /** A heading and a line a curve; nothing when there is none. */
  public static List<String> lines(List<TypedFolder> all) {
    List<String> lines = new ArrayList<>();
    if (!all.isEmpty()) {
      lines.add(Report.capital(TypedCurve.MARK) + ": listed, not judged");
    }
    all.forEach(one -> lines.add(line(one)));
    return lines;
  }

  /**
   * {@code old-heron (1998-05-03): Heron head, intake 1; 12 lifts, up to 230.1 cfm at 28 inH2O}.
   */
  private static String line(TypedFolder one) {
    TypedCurve typed = one.typed();
    Plan.Units units = typed.units();
    List<ExternalCurve.Point> points = typed.curve().points();
    InUnits in = new InUnits(units);
    return one.name()
        + typed.on().map(day -> " (" + day + ")").orElse("")
        + ": "
        + typed.about()
        + "; "
        + points.size()
        + (points.size() == 1 ? " lift, " : " lifts, ")
        + in.lift(points.get(0).liftM())
        + " to "
        + in.lift(points.get(points.size() - 1).liftM())
        + Text.of(
            ", up to %.1f %s", units.flow().fromSi(typed.highestM3PerS()), units.flow().symbol())
        + (typed.curve().testPressurePa().isPresent()
            ? " at " + in.pressure(typed.curve().testPressurePa().getAsDouble())
            : ", test pressure not known");
  }

  /** Whether a curve is said to be of a plan's port. */
  static boolean isOf(TypedCurve typed, Plan plan) {
    return typed
            .part()
            .filter(
                part ->
                    part.head().equals(plan.part().head())
                        && part.chamber().equals(plan.part().chamber())
                        && part.port().equals(plan.part().port()))
            .isPresent()
        && typed.port().orElse(plan.port()) == plan.port();
  }

  public static ArrayNode json(List<TypedFolder> all) {
    ArrayNode list = JsonNodeFactory.instance.arrayNode();
    for (TypedFolder one : all) {
      TypedCurve typed = one.typed();
      ObjectNode node = list.addObject().put("name", one.name());
      node.put("on", typed.on().map(LocalDate::toString).orElse(null));
      node.put("head", typed.part().map(Plan.Part::head).orElse(null));
      node.put("chamber", typed.part().map(Plan.Part::chamber).orElse(null));
      node.put("port", typed.part().map(Plan.Part::port).orElse(null));
      node.put("port_kind", typed.port().map(PortKind::word).orElse(null));
      node.put("points", typed.curve().points().size());
      node.put("highest_flow", typed.units().flow().fromSi(typed.highestM3PerS()));
      node.put("flow_unit", typed.units().flow().symbol()).putNull("outcome");
    }
    return list;
  }
}
