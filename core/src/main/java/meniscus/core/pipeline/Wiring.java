package meniscus.core.pipeline;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.instrument.Channel;

/**
 * Which column of which frame feeds which use of the bench.
 *
 * @param taps by use; uses without a measured channel are absent
 * @param swings half of how far a column swings, for readings that a person gives as low and high
 */
record Wiring(Map<Use, Tapped> taps, Map<Use, Tapped> swings) {

  /** A channel of this name with this ending tells how far the other swings to either side. */
  private static final String HALF_SWING = "_half_swing";

  /**
   * @param instrument index in the bench
   * @param column index of the channel in the instrument's frames
   * @param offsetSi zero to subtract [SI]
   * @param sign −1 for a gauge that shows the other sign
   * @param lowSi lowest value the gauge can show [SI]
   * @param highSi highest [SI]
   */
  record Tapped(
      int instrument, int column, double offsetSi, double sign, double lowSi, double highSi) {

    boolean feeds(Frame frame) {
      return frame.instrument() == instrument && !Double.isNaN(frame.valuesSi()[column]);
    }

    /** The quantity of a reading as received [SI]; NaN when overloaded or out of range. */
    double quantity(double readSi) {
      if (!(readSi > lowSi && readSi < highSi)) {
        return Double.NaN;
      }
      return sign * (readSi - offsetSi);
    }
  }

  /**
   * @param range whose flow element is used
   * @param channels of each instrument, in the bench's order
   * @throws IllegalArgumentException when the bench names a channel that its instrument has not
   */
  static Wiring of(Bench bench, Range range, List<List<Channel>> channels) {
    Map<Use, Tapped> taps = new EnumMap<>(Use.class);
    bench
        .channels()
        .forEach(
            (use, source) -> {
              if (source instanceof Source.Measured gauge) {
                taps.put(use, tapped(bench, use, gauge, channels));
              }
            });
    taps.put(Use.ELEMENT_DROP, tapped(bench, Use.ELEMENT_DROP, range.drop(), channels));
    return new Wiring(taps, swings(taps, channels));
  }

  /** What an instrument of the bench is used for; nothing when the bench has none of this name. */
  List<Use> usesOf(Bench bench, String instrument) {
    return taps.keySet().stream()
        .filter(use -> bench.instruments().get(taps.get(use).instrument()).id().equals(instrument))
        .toList();
  }

  private static Map<Use, Tapped> swings(Map<Use, Tapped> taps, List<List<Channel>> channels) {
    Map<Use, Tapped> swings = new EnumMap<>(Use.class);
    taps.forEach(
        (use, tap) -> {
          List<Channel> all = channels.get(tap.instrument());
          String wanted = all.get(tap.column()).name() + HALF_SWING;
          for (int column = 0; column < all.size(); column++) {
            if (all.get(column).name().equals(wanted)) {
              swings.put(
                  use,
                  new Tapped(tap.instrument(), column, 0, 1, -Double.MIN_VALUE, Double.MAX_VALUE));
            }
          }
        });
    return swings;
  }

  private static Tapped tapped(
      Bench bench, Use use, Source.Measured source, List<List<Channel>> channels) {
    for (int instrument = 0; instrument < bench.instruments().size(); instrument++) {
      if (bench.instruments().get(instrument).id().equals(source.instrument())) {
        return tapped(bench, use, source, instrument, channels.get(instrument));
      }
    }
    throw new IllegalArgumentException(
        use.word() + ": the bench has no instrument \"" + source.instrument() + "\"");
  }

  private static Tapped tapped(
      Bench bench, Use use, Source.Measured source, int instrument, List<Channel> channels) {
    for (int column = 0; column < channels.size(); column++) {
      Channel channel = channels.get(column);
      if (channel.name().equals(source.channel())) {
        if (channel.unit().dimension() != use.dimension()) {
          throw new IllegalArgumentException(
              use.word()
                  + ": channel \""
                  + source.channel()
                  + "\" of "
                  + source.instrument()
                  + " is a "
                  + channel.unit().dimension().word()
                  + ", not a "
                  + use.dimension().word());
        }
        return new Tapped(
            instrument,
            column,
            bench.zero(source).offsetSi(),
            source.inverted() ? -1 : 1,
            source.lowSi(),
            source.highSi());
      }
    }
    throw new IllegalArgumentException(
        use.word()
            + ": "
            + source.instrument()
            + " has no channel \""
            + source.channel()
            + "\"; it has: "
            + String.join(", ", channels.stream().map(Channel::name).toList()));
  }
}
