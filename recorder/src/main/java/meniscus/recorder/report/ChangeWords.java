package meniscus.recorder.report;

import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Unit;

/** Change notes as people read them. */
final class ChangeWords {

  private ChangeWords() {}

  /** {@code opened the bowl (below the seat): from 24.00 mm to 24.50 mm, +0.50 mm}. */
  static String of(Plan.ChangeNote note, Unit unit) {
    String where = note.where().isBlank() ? "" : " (" + note.where() + ")";
    return note.what() + where + dimensions(note, unit);
  }

  static List<String> of(Plan plan) {
    return plan.changes().stream().map(note -> of(note, plan.units().lift())).toList();
  }

  /** After less before; empty unless both were measured [m]. */
  static OptionalDouble difference(Plan.ChangeNote note) {
    return note.beforeM().isPresent() && note.afterM().isPresent()
        ? OptionalDouble.of(note.afterM().getAsDouble() - note.beforeM().getAsDouble())
        : OptionalDouble.empty();
  }

  private static String dimensions(Plan.ChangeNote note, Unit unit) {
    OptionalDouble difference = difference(note);
    if (difference.isPresent()) {
      return String.format(
          Locale.ROOT,
          ": from %s to %s, %+." + decimals(unit) + "f %s",
          length(unit, note.beforeM().orElseThrow()),
          length(unit, note.afterM().orElseThrow()),
          unit.fromSi(difference.getAsDouble()),
          unit.symbol());
    }
    if (note.beforeM().isPresent()) {
      return ": before " + length(unit, note.beforeM().getAsDouble());
    }
    return note.afterM().isPresent() ? ": now " + length(unit, note.afterM().getAsDouble()) : "";
  }

  static String length(Unit unit, double metres) {
    return InUnits.number(unit.fromSi(metres), decimals(unit)) + " " + unit.symbol();
  }

  private static int decimals(Unit unit) {
    return unit.factor() > 0.01 ? 3 : 2;
  }
}
