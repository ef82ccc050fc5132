package meniscus.drivers.text;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Settings;
import meniscus.core.quantity.Unit;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.sheet.SheetChannel;

/**
 * How one channel is read out of a line.
 *
 * @param common name, unit, scaling, role
 * @param place where the number stands
 * @param optional whether a line may come without it, as another line brings it
 * @param overload words that stand in the number's place when there is no value
 * @param status a word elsewhere in the line that says whether the number is good
 * @param unitFrom a word elsewhere in the line that says the number's unit
 */
record TextChannel(
    SheetChannel common,
    FieldPlace place,
    boolean optional,
    List<byte[]> overload,
    Optional<Status> status,
    Optional<UnitFrom> unitFrom) {

  /**
   * @param overload words that mean "no value"
   * @param good words that mean "good"; empty: all others
   */
  record Status(FieldPlace place, List<byte[]> overload, List<byte[]> good) {}

  /** A word and the unit it means. */
  record UnitWord(byte[] word, Unit unit) {}

  record UnitFrom(FieldPlace place, List<UnitWord> words) {}

  static TextChannel of(Settings settings, byte[] labelMark) {
    SheetChannel common = SheetChannel.mayCount(settings);
    TextChannel channel =
        new TextChannel(
            common,
            FieldPlace.of(settings, labelMark),
            settings.yes("optional", false),
            SheetText.list(settings, "overload"),
            settings.has("status")
                ? Optional.of(status(settings.within("status"), labelMark))
                : Optional.empty(),
            settings.has("unit_from")
                ? Optional.of(
                    unitFrom(settings.within("unit_from"), labelMark, common.channel().unit()))
                : Optional.empty());
    settings.done();
    return channel;
  }

  Channel channel() {
    return common.channel();
  }

  private static Status status(Settings settings, byte[] labelMark) {
    Status status =
        new Status(
            FieldPlace.of(settings, labelMark),
            SheetText.list(settings, "overload"),
            SheetText.list(settings, "good"));
    settings.done();
    return status;
  }

  private static UnitFrom unitFrom(Settings settings, byte[] labelMark, Unit channelUnit) {
    FieldPlace place = FieldPlace.of(settings, labelMark);
    Settings names = settings.within("names");
    settings.done();
    List<UnitWord> words = new ArrayList<>();
    for (String word : names.names().stream().sorted().toList()) {
      Unit unit = SheetChannel.unit(names, names.text(word), channelUnit.dimension());
      words.add(new UnitWord(SheetText.bytes(word), unit));
    }
    if (words.isEmpty()) {
      throw new Refusal(settings.where() + ": \"names\" must say which word means which unit");
    }
    return new UnitFrom(place, words);
  }
}
