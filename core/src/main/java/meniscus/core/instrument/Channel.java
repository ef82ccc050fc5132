package meniscus.core.instrument;

import java.util.List;
import java.util.Objects;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;

/**
 * One named quantity from an instrument.
 *
 * @param name lower-case words joined by underscores, unique within the instrument
 * @param unit what the readings are in
 */
public record Channel(String name, Unit unit) {

  /**
   * A channel with this ending tells how far the one without it swings to either side, as a person
   * sees it: that one is read by eye.
   */
  public static final String HALF_SWING = "_half_swing";

  public Channel {
    Objects.requireNonNull(unit);
    if (!name.matches("[a-z][a-z0-9_]{0,39}")) {
      throw new Refusal(
          "channel name \""
              + name
              + "\": use lower-case letters, digits and underscores, a letter first");
    }
  }

  /**
   * True when a person reads this channel.
   *
   * @param ofInstrument all channels of its instrument
   */
  public boolean isReadByEye(List<Channel> ofInstrument) {
    return ofInstrument.stream().anyMatch(each -> each.name().equals(name + HALF_SWING));
  }
}
