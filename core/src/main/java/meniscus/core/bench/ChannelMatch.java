package meniscus.core.bench;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import meniscus.core.instrument.Channel;
import meniscus.core.quantity.Dimension;
import meniscus.core.refusal.Refusal;

/** Whether the channels that a bench names are ones that its instruments deliver. */
public final class ChannelMatch {

  private ChannelMatch() {}

  /**
   * @param delivered by each instrument of the bench, by its id
   * @throws Refusal for a channel that is not delivered or reads something else
   */
  public static void check(Bench bench, Map<String, List<Channel>> delivered) {
    new TreeMap<>(bench.channels())
        .forEach(
            (use, source) -> {
              if (source instanceof Source.Measured gauge) {
                check(use.word(), gauge, use.dimension(), delivered);
              }
            });
    for (Range range : bench.ranges()) {
      check(
          "the drop of range \"" + range.name() + "\"",
          range.drop(),
          Use.ELEMENT_DROP.dimension(),
          delivered);
    }
  }

  private static void check(
      String place, Source.Measured gauge, Dimension wanted, Map<String, List<Channel>> delivered) {
    List<Channel> channels = delivered.getOrDefault(gauge.instrument(), List.of());
    Channel channel =
        channels.stream()
            .filter(each -> each.name().equals(gauge.channel()))
            .findFirst()
            .orElseThrow(
                () ->
                    new Refusal(
                        place
                            + ": instrument "
                            + gauge.instrument()
                            + " has no channel \""
                            + gauge.channel()
                            + "\"; its sheet names: "
                            + channels.stream()
                                .map(Channel::name)
                                .collect(Collectors.joining(", "))));
    if (channel.unit().dimension() != wanted) {
      throw new Refusal(
          place
              + " needs a "
              + wanted.word()
              + ", but "
              + gauge.key()
              + " is a "
              + channel.unit().dimension().word()
              + " in "
              + channel.unit().symbol()
              + ": name another channel, or correct the unit in the instrument's sheet");
    }
  }
}
