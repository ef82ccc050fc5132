package meniscus.drivers.text;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;
import java.util.regex.PatternSyntaxException;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.sheet.SheetChannel;

/**
 * What one kind of line looks like, as a sheet says it. Immutable; a {@link LineReading} uses it.
 *
 * @param separator between fields; empty: the line is one field
 * @param decimalMark {@code .} or {@code ,}
 * @param fields how many fields there must be; 0: any number
 * @param expected words that must stand in their places
 * @param checksum at the end of the line
 * @param pattern that the whole line must match; matches everything when the sheet gives none
 * @param channels in the order of their indices
 */
record LineGrammar(
    byte[] separator,
    byte decimalMark,
    int fields,
    List<Expected> expected,
    Optional<LineChecksum> checksum,
    Optional<Pattern> pattern,
    List<TextChannel> channels) {

  /** A word that must stand in a place. */
  record Expected(FieldPlace place, byte[] text) {}

  /** Reads the members of a sheet that describe a line. */
  static LineGrammar of(Settings settings) {
    byte[] labelMark = SheetText.upTo(1, settings, "label_mark");
    Optional<Pattern> pattern =
        settings.optionalText("pattern").map(text -> pattern(settings, text));
    LineGrammar grammar =
        new LineGrammar(
            SheetText.upTo(1, settings, "separator"),
            decimalMark(settings),
            settings.whole("fields", 0, 0, 1000),
            expected(settings, labelMark),
            settings.has("checksum")
                ? Optional.of(LineChecksum.of(settings.within("checksum")))
                : Optional.empty(),
            pattern,
            settings.list("channels").stream().map(c -> TextChannel.of(c, labelMark)).toList());
    SheetChannel.each(settings.where(), grammar.channelList());
    grammar.groupsAreThere(settings);
    if (grammar.separator.length == 1 && grammar.separator[0] == grammar.decimalMark) {
      throw new Refusal(
          settings.where() + ": \"separator\" and the decimal mark are the same character");
    }
    return grammar;
  }

  List<Channel> channelList() {
    return channels.stream().map(TextChannel::channel).toList();
  }

  private static List<Expected> expected(Settings settings, byte[] labelMark) {
    List<Expected> expected = new ArrayList<>();
    for (Settings word : settings.list("expect")) {
      expected.add(
          new Expected(FieldPlace.of(word, labelMark), SheetText.bytes(word.text("text"))));
      word.done();
    }
    return expected;
  }

  private static byte decimalMark(Settings settings) {
    String decimal = settings.text("decimal", "point");
    if (!decimal.equals("point") && !decimal.equals("comma")) {
      throw new Refusal(
          settings.where() + ", \"decimal\" must be point or comma, was \"" + decimal + "\"");
    }
    return (byte) (decimal.equals("point") ? '.' : ',');
  }

  private static Pattern pattern(Settings settings, String text) {
    try {
      return Pattern.compile(text);
    } catch (PatternSyntaxException wrong) {
      throw new Refusal(
          settings.where()
              + ", \"pattern\": "
              + wrong.getDescription()
              + " at character "
              + (wrong.getIndex() + 1),
          wrong);
    }
  }

  private void groupsAreThere(Settings settings) {
    int groups = pattern.map(found -> found.matcher("").groupCount()).orElse(0);
    for (TextChannel channel : channels) {
      if (channel.place() instanceof FieldPlace.Group group && group.number() > groups) {
        throw new Refusal(
            settings.where()
                + ": channel \""
                + channel.channel().name()
                + "\" wants group "
                + group.number()
                + ", but \"pattern\" has "
                + groups);
      }
    }
  }
}
