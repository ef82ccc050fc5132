package meniscus.core.instrument;

import java.util.Objects;
import meniscus.core.quantity.Unit;

/**
 * One named quantity from an instrument.
 *
 * @param name lower-case words joined by underscores, unique within the instrument
 * @param unit what the readings are in
 */
public record Channel(String name, Unit unit) {
  public Channel {
    Objects.requireNonNull(unit);
    if (!name.matches("[a-z][a-z0-9_]{0,39}")) {
      throw new IllegalArgumentException(
          "channel name \""
              + name
              + "\": use lower-case letters, digits and underscores, a letter first");
    }
  }
}
