package meniscus.drivers.text;

import java.util.List;
import meniscus.core.instrument.Settings;

/**
 * How lines are told from each other.
 *
 * @param terminator what ends a line; empty: CR, LF, or both
 * @param longest longest line [bytes]
 * @param ignored beginnings of lines that are remarks
 */
record Framing(byte[] terminator, int longest, List<byte[]> ignored) {

  static Framing of(Settings settings) {
    return new Framing(
        SheetText.upTo(4, settings, "terminator"),
        settings.whole("longest_line", 256, 2, 4096),
        SheetText.list(settings, "ignore"));
  }

  LineSplitter newSplitter() {
    return new LineSplitter(terminator, longest);
  }

  /** Whether a line is blank or a remark. */
  boolean isRemark(byte[] line, int length) {
    for (int i = 0; i < ignored.size(); i++) {
      if (beginsWith(line, length, ignored.get(i))) {
        return true;
      }
    }
    for (int i = 0; i < length; i++) {
      if (line[i] != ' ' && line[i] != '\t' && line[i] != '\r' && line[i] != '\n') {
        return false;
      }
    }
    return true;
  }

  private static boolean beginsWith(byte[] line, int length, byte[] beginning) {
    if (length < beginning.length) {
      return false;
    }
    for (int i = 0; i < beginning.length; i++) {
      if (line[i] != beginning[i]) {
        return false;
      }
    }
    return true;
  }
}
