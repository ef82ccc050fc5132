package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Digits;
import meniscus.core.quantity.Value;
import meniscus.recorder.json.JsonOut;

/**
 * An interval that stands in the file otherwise than it was told when the point was kept. What a
 * wrong lift does to the flow depends on how steeply the flow rises there, and that shows only once
 * the lifts beside it are taken.
 *
 * @param told in the moment of keeping [m³/s]
 * @param written in the file [m³/s]
 */
record IntervalChange(
    int rung, double liftM, OptionalDouble told, OptionalDouble written, Plan.Units units) {

  /**
   * Those that differ in the two digits that are shown.
   *
   * @param told as they were kept, by rung
   * @param points as they are in the file
   */
  static List<IntervalChange> of(
      Map<Integer, LiftPoint> told, List<LiftPoint> points, Plan.Units units) {
    return points.stream()
        .filter(point -> told.containsKey(point.rung()))
        .map(
            point ->
                new IntervalChange(
                    point.rung(),
                    point.liftM(),
                    told.get(point.rung()).flowU95(),
                    point.flowU95(),
                    units))
        .filter(change -> !change.text(change.told).equals(change.text(change.written)))
        .toList();
  }

  private String text(OptionalDouble flow) {
    return flow.isPresent()
        ? Digits.uncertainty(units.flow().fromSi(flow.getAsDouble())) + " " + units.flow().symbol()
        : "not known";
  }

  /** For people, with the reason; empty when nothing changed. */
  static Optional<String> sentence(List<IntervalChange> changed) {
    return changed.isEmpty()
        ? Optional.empty()
        : Optional.of(
            changed.stream()
                .map(
                    each ->
                        "lift "
                            + Value.ofSi(each.liftM, each.units.lift()).toString(3)
                            + ": ± "
                            + each.text(each.told)
                            + " when kept, ± "
                            + each.text(each.written)
                            + " in the file")
                .collect(
                    Collectors.joining(
                        "\n",
                        "Intervals that changed, because how much a wrong lift matters shows only"
                            + " once the lifts beside it are taken:\n",
                        "")));
  }

  void addTo(ObjectNode json) {
    json.put("rung", rung).put("lift", units.lift().fromSi(liftM));
    JsonOut.exact(json, "flow_u95_when_kept", told, units.flow());
    JsonOut.exact(json, "flow_u95", written, units.flow());
  }
}
