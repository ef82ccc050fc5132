package meniscus.core.pipeline;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.instrument.Channel;
import meniscus.core.refusal.Refusal;

/**
 * Which column of which frame feeds which use of the bench.
 *
 * @param taps by use; uses without a measured channel are absent
 * @param byEye by use, the gauges that a person reads and types in
 */
record Wiring(Map<Use, ChannelInput> taps, Map<Use, Eye> byEye) {

  /**
   * A gauge that a person reads.
   *
   * @param channel its name, as it is typed
   * @param halfSwing where half of high minus low stands
   */
  record Eye(Channel channel, ChannelInput halfSwing) {}

  /**
   * @param instrument index in the bench
   * @param column index of the channel in the instrument's frames
   * @param offsetSi zero to subtract [SI]
   * @param sign −1 for a gauge that shows the other sign
   * @param lowSi lowest value the gauge can show [SI]
   * @param highSi highest [SI]
   * @param quantumSi smallest step by the bench file [SI]; 0 when not told
   */
  record ChannelInput(
      int instrument,
      int column,
      double offsetSi,
      double sign,
      double lowSi,
      double highSi,
      double quantumSi) {

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
   * One use that an instrument feeds.
   *
   * @param halfSwing where the swing stands beside it; empty when no person reads it
   */
  record Feed(Use use, ChannelInput tap, Optional<ChannelInput> halfSwing) {}

  /** What an instrument feeds; asked for once an instrument, looked through at every frame. */
  Feed[] fedBy(int instrument) {
    return taps.entrySet().stream()
        .filter(entry -> entry.getValue().instrument() == instrument)
        .map(
            entry ->
                new Feed(
                    entry.getKey(),
                    entry.getValue(),
                    Optional.ofNullable(byEye.get(entry.getKey())).map(Eye::halfSwing)))
        .toArray(Feed[]::new);
  }

  /**
   * @param range whose flow element is used
   * @param channels of each instrument, in the bench's order
   * @throws Refusal when the bench names a channel that its instrument has not
   */
  static Wiring of(Bench bench, Range range, List<List<Channel>> channels) {
    Map<Use, ChannelInput> taps = new EnumMap<>(Use.class);
    bench
        .channels()
        .forEach(
            (use, source) -> {
              if (source instanceof Source.Measured gauge) {
                taps.put(use, tapped(bench, use, gauge, channels));
              }
            });
    taps.put(Use.ELEMENT_DROP, tapped(bench, Use.ELEMENT_DROP, range.drop(), channels));
    Wiring wiring = new Wiring(taps, byEye(taps, channels));
    wiring.refuseWithoutGraduation(bench, range);
    return wiring;
  }

  /** What an instrument of the bench is used for; nothing when the bench has none of this name. */
  List<Use> usesOf(Bench bench, String instrument) {
    return taps.keySet().stream()
        .filter(use -> bench.instruments().get(taps.get(use).instrument()).id().equals(instrument))
        .toList();
  }

  /** Without it the error of reading would be missing in every interval, and nobody would know. */
  private void refuseWithoutGraduation(Bench bench, Range range) {
    Map<Use, Source> sources = new EnumMap<>(bench.channels());
    sources.put(Use.ELEMENT_DROP, range.drop());
    for (Use use : List.of(Use.TEST_PRESSURE, Use.ELEMENT_DROP)) {
      if (byEye.containsKey(use)
          && sources.get(use) instanceof Source.Measured gauge
          && gauge.accuracy().quantumSi() == 0) {
        throw new Refusal(
            use.word()
                + " is read by eye from "
                + gauge.key()
                + ": say how finely, as \"accuracy\": {\"quantum\": \"0.1 inH2O\"}");
      }
    }
  }

  private static Map<Use, Eye> byEye(Map<Use, ChannelInput> taps, List<List<Channel>> channels) {
    Map<Use, Eye> byEye = new EnumMap<>(Use.class);
    taps.forEach(
        (use, tap) -> {
          List<Channel> all = channels.get(tap.instrument());
          Channel read = all.get(tap.column());
          String wanted = read.name() + Channel.HALF_SWING;
          for (int column = 0; column < all.size(); column++) {
            if (all.get(column).name().equals(wanted)) {
              byEye.put(
                  use,
                  new Eye(
                      read,
                      new ChannelInput(
                          tap.instrument(), column, 0, 1, -Double.MIN_VALUE, Double.MAX_VALUE, 0)));
            }
          }
        });
    return byEye;
  }

  private static ChannelInput tapped(
      Bench bench, Use use, Source.Measured source, List<List<Channel>> channels) {
    for (int instrument = 0; instrument < bench.instruments().size(); instrument++) {
      if (bench.instruments().get(instrument).id().equals(source.instrument())) {
        return tapped(bench, use, source, instrument, channels.get(instrument));
      }
    }
    throw new Refusal(use.word() + ": the bench has no instrument \"" + source.instrument() + "\"");
  }

  private static ChannelInput tapped(
      Bench bench, Use use, Source.Measured source, int instrument, List<Channel> channels) {
    for (int column = 0; column < channels.size(); column++) {
      Channel channel = channels.get(column);
      if (channel.name().equals(source.channel())) {
        if (channel.unit().dimension() != use.dimension()) {
          throw new Refusal(
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
        return new ChannelInput(
            instrument,
            column,
            bench.zero(source).offsetSi(),
            source.inverted() ? -1 : 1,
            source.lowSi(),
            source.highSi(),
            source.accuracy().quantumSi());
      }
    }
    throw new Refusal(
        use.word()
            + ": "
            + source.instrument()
            + " has no channel \""
            + source.channel()
            + "\"; it has: "
            + String.join(", ", channels.stream().map(Channel::name).toList()));
  }
}
