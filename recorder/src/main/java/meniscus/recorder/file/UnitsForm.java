package meniscus.recorder.file;

import java.util.Map;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.UnitSystem;

/** The plan's units: {@code "inch"}, {@code "metric"}, or each named. */
final class UnitsForm {

  private static final String UNITS = "units";

  private UnitsForm() {}

  static Plan.Units read(ObjectReader members) {
    if (!members.has(UNITS) || !(members.any(UNITS) instanceof Map<?, ?>)) {
      return of(members.choice(UNITS, UnitSystem.class, UnitSystem.METRIC));
    }
    ObjectReader each = members.within(UNITS);
    return each.done(
        new Plan.Units(
            unit(each, "lift", Dimension.LENGTH),
            unit(each, "flow", Dimension.VOLUME_FLOW),
            unit(each, "pressure", Dimension.PRESSURE)));
  }

  static ObjectWriter write(ObjectWriter written, Plan.Units units) {
    for (UnitSystem system : UnitSystem.values()) {
      if (units.equals(of(system))) {
        return written.put(UNITS, system.word());
      }
    }
    return written.put(
        UNITS,
        written
            .another()
            .put("lift", units.lift().symbol())
            .put("flow", units.flow().symbol())
            .put("pressure", units.pressure().symbol()));
  }

  private static Plan.Units of(UnitSystem system) {
    return new Plan.Units(
        system.unit(Dimension.LENGTH),
        system.unit(Dimension.VOLUME_FLOW),
        system.unit(Dimension.PRESSURE));
  }

  private static Unit unit(ObjectReader members, String name, Dimension dimension) {
    String text = members.text(name);
    return members.inside(name, () -> Unit.named(text, dimension));
  }
}
