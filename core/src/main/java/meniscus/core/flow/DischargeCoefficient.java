package meniscus.core.flow;

import java.util.Locale;
import java.util.Objects;
import meniscus.core.quantity.Text;

/**
 * Effective area over a named area. A coefficient without its area says nothing: at low lift the
 * curtain is half as large again as the true opening.
 *
 * @param value effective area / {@code areaM2}
 * @param area which area it was divided by
 * @param areaM2 that area
 */
public record DischargeCoefficient(double value, Area area, double areaM2) {

  /** Areas of a valve that are in use. */
  public enum Area {
    /** π·head·lift, of all opened valves together. */
    CURTAIN,
    /** The narrowest area at the seat. */
    SEAT,
    /** The port behind the seat, less the stem. */
    THROAT,
    /** The head's disc. */
    HEAD
  }

  public DischargeCoefficient {
    Objects.requireNonNull(area);
  }

  /** For example {@code 0.556 over the curtain area}. */
  @Override
  public String toString() {
    return Text.of("%.3f over the %s area", value, area.name().toLowerCase(Locale.ROOT));
  }
}
