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

  /**
   * A channel of this name tells the number of the sample that the other readings of its frame
   * belong to, counted by the instrument itself: a whole number of sampling intervals, whose gaps
   * are frames that were lost on the way. One that does not rise begins a new count: the instrument
   * was reset, or its line was opened anew.
   */
  public static final String SAMPLE_INDEX = "sample_index";

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
