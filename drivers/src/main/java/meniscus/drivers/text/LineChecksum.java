package meniscus.drivers.text;

import java.util.Optional;
import meniscus.core.instrument.Settings;
import meniscus.core.quantity.Text;
import meniscus.drivers.sheet.Checksum;
import meniscus.drivers.sheet.SheetChannel;

/**
 * A checksum at the end of a line, in hexadecimal digits, the most significant first.
 *
 * @param checksum which one
 * @param mark what stands before the digits; empty: they are simply the last ones
 * @param begin what the line begins with, not covered by the checksum; may be empty
 * @param coversMark whether the mark is covered too
 */
record LineChecksum(Checksum checksum, byte[] mark, byte[] begin, boolean coversMark) {

  static LineChecksum of(Settings settings) {
    LineChecksum wanted =
        new LineChecksum(
            SheetChannel.saying(settings, Checksum::named, settings.text("kind")),
            SheetText.upTo(1, settings, "mark"),
            SheetText.upTo(8, settings, "begin"),
            settings.yes("covers_mark", false));
    settings.done();
    return wanted;
  }

  /** Checks a line and takes beginning, mark and digits away; or says what is wrong. */
  Optional<String> strip(TextLine line) {
    int digits = checksum.bits() / 4;
    int first = line.end - digits;
    int covered = first - mark.length;
    if (covered < line.start + begin.length) {
      return Optional.of("too short for its checksum");
    }
    if (mark.length > 0 && line.bytes[covered] != mark[0]) {
      return Optional.of("no checksum mark before the last " + digits + " characters");
    }
    if (!line.startsWith(begin)) {
      return Optional.of("does not begin as it should");
    }
    long sent = hexadecimal(line.bytes, first, line.end);
    if (sent < 0) {
      return Optional.of("the checksum is not hexadecimal");
    }
    int from = line.start + begin.length;
    long computed = checksum.of(line.bytes, from, coversMark ? first : covered);
    if (sent != computed) {
      return Optional.of(
          Text.of(
              "checksum %0" + digits + "X, but the line gives %0" + digits + "X", sent, computed));
    }
    line.start = from;
    line.end = covered;
    return Optional.empty();
  }

  /** −1 when a digit is none. */
  private static long hexadecimal(byte[] bytes, int from, int to) {
    long value = 0;
    for (int i = from; i < to; i++) {
      int digit = Character.digit(bytes[i], 16);
      if (digit < 0) {
        return -1;
      }
      value = value << 4 | digit;
    }
    return value;
  }
}
