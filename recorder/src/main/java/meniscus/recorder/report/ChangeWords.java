package meniscus.recorder.report;

import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.Amount;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;

/** Change notes as people read them. */
public final class ChangeWords {

  private ChangeWords() {}

  /** {@code opened the bowl (below the seat): from 24.00 mm to 24.50 mm, +0.50 mm}. */
  static String of(Plan.ChangeNote note, Unit unit) {
    String where = note.where().isBlank() ? "" : " (" + note.where() + ")";
    return note.what() + where + dimensions(note, unit);
  }

  /** All of a plan. */
  public static List<String> of(Plan plan) {
    return plan.changes().stream().map(note -> of(note, plan.units().lift())).toList();
  }

  /** After less before; empty unless both were measured [m]. */
  static OptionalDouble difference(Plan.ChangeNote note) {
    return note.beforeM().isPresent() && note.afterM().isPresent()
        ? OptionalDouble.of(note.afterM().getAsDouble() - note.beforeM().getAsDouble())
        : OptionalDouble.empty();
  }

  private static String dimensions(Plan.ChangeNote note, Unit unit) {
    return size(note, unit)
        + note.left()
            .map(
                left ->
                    "; "
                        + length(unit, left.metres())
                        + " left"
                        + (left.atLeastM().isPresent()
                            ? ", at least "
                                + length(unit, left.atLeastM().getAsDouble())
                                + (left.tooLittle() ? " were to stay" : " are to stay")
                            : ""))
            .orElse("");
  }

  private static String size(Plan.ChangeNote note, Unit unit) {
    OptionalDouble difference = difference(note);
    if (difference.isPresent()) {
      return Text.of(
          ": from %s to %s, %+." + decimals(unit) + "f %s",
          amount(note.before().orElseThrow(), unit),
          amount(note.after().orElseThrow(), unit),
          shown(note.afterM(), unit) - shown(note.beforeM(), unit),
          unit.symbol());
    }
    if (note.before().isPresent() && note.after().isPresent()) {
      return ": from "
          + amount(note.before().get(), unit)
          + " to "
          + amount(note.after().get(), unit);
    }
    return note.before().map(amount -> ": before " + amount(amount, unit)).orElse("")
        + note.after().map(amount -> ": now " + amount(amount, unit)).orElse("");
  }

  /** As many decimals as are written, so that the three numbers of a line agree. */
  private static double shown(OptionalDouble metres, Unit unit) {
    double scale = Math.pow(10, decimals(unit));
    return Math.round(unit.fromSi(metres.orElseThrow()) * scale) / scale;
  }

  /** A length in the plan's unit, anything else as it was written. */
  private static String amount(Amount amount, Unit unit) {
    return amount.metres().isPresent()
        ? length(unit, amount.metres().getAsDouble())
        : amount.text();
  }

  static String length(Unit unit, double metres) {
    return InUnits.number(unit.fromSi(metres), decimals(unit)) + " " + unit.symbol();
  }

  private static int decimals(Unit unit) {
    return unit.factor() > 0.01 ? 3 : 2;
  }
}
