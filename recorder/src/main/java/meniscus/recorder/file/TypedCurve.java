package meniscus.recorder.file;

import java.time.LocalDate;
import java.util.Objects;
import java.util.Optional;
import meniscus.core.compare.ExternalCurve;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;

/**
 * A curve from elsewhere with what is known of where it comes from. Its interval is unknown: it is
 * drawn and listed, and never judged.
 *
 * @param curve itself
 * @param units that it was typed in
 * @param part that it is of; empty when nobody said
 * @param port intake or exhaust, when somebody said
 * @param on the day it was measured, when it is known
 */
public record TypedCurve(
    ExternalCurve curve,
    Plan.Units units,
    Optional<Plan.Part> part,
    Optional<PortKind> port,
    Optional<LocalDate> on) {

  /** What is said of every such curve. */
  public static final String MARK = "typed from elsewhere, interval unknown";

  public TypedCurve {
    Objects.requireNonNull(curve);
    Objects.requireNonNull(units);
  }

  /** Its highest flow [m³/s]. */
  public double highestM3PerS() {
    return curve.points().stream().mapToDouble(ExternalCurve.Point::flowM3PerS).max().orElse(0);
  }

  /** {@code Heron head, cylinder 1, intake 1}; the curve's own name when no part is known. */
  public String about() {
    return part.map(p -> String.join(", ", p.head(), p.port()).replaceAll("(^, )|(, $)", ""))
        .orElse(curve.name());
  }
}
