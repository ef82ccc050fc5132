package meniscus.drivers.sheet;

import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Settings;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;

/**
 * What every sheet says of a channel: {@code name}, {@code unit} and how its numbers are scaled.
 *
 * @param channel name and unit
 * @param scaling from the number sent to the channel's value
 * @param counter when the channel counts the instrument's samples
 */
public record SheetChannel(Channel channel, Scaling scaling, Optional<CounterRole> counter) {

  /**
   * Reads the common members of a channel.
   *
   * @throws Refusal saying where
   */
  public static SheetChannel of(Settings settings) {
    return of(settings, Optional.empty());
  }

  /** The same for instruments that may number what they send. */
  public static SheetChannel mayCount(Settings settings) {
    return of(settings, CounterRole.of(settings));
  }

  private static SheetChannel of(Settings settings, Optional<CounterRole> counter) {
    Channel channel =
        counter.isPresent()
            ? CounterRole.channel(settings)
            : named(settings, saying(settings, Unit::named, settings.text("unit")));
    return new SheetChannel(channel, Scaling.of(settings), counter);
  }

  private static Channel named(Settings settings, Unit unit) {
    return saying(settings, name -> new Channel(name, unit), settings.text("name"));
  }

  /**
   * The channels of one instrument, each named once.
   *
   * @throws Refusal when there is none, or a name comes twice
   */
  public static List<Channel> each(String where, List<Channel> channels) {
    if (channels.isEmpty()) {
      throw new Refusal(where + ": \"channels\" must name at least one channel");
    }
    for (int i = 0; i < channels.size(); i++) {
      String name = channels.get(i).name();
      if (channels.subList(0, i).stream().anyMatch(earlier -> earlier.name().equals(name))) {
        throw new Refusal(where + ": channel \"" + name + "\" is named twice");
      }
    }
    return List.copyOf(channels);
  }

  /**
   * A unit of some dimension.
   *
   * @throws Refusal saying where
   */
  public static Unit unit(Settings where, String name, Dimension dimension) {
    return saying(where, text -> Unit.named(text, dimension), name);
  }

  /** Puts the place in front of the message of a value that does not fit. */
  public static <T> T saying(Settings where, Function<String, T> reading, String text) {
    try {
      return reading.apply(text);
    } catch (IllegalArgumentException wrong) {
      throw new Refusal(where.where() + ": " + wrong.getMessage(), wrong);
    }
  }
}
