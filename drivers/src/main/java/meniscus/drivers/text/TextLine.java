package meniscus.drivers.text;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.instrument.Printable;

/**
 * One line under examination, and where its fields lie. Used again for every line. What a {@link
 * Place} finds is left in {@link #from} and {@link #to}.
 */
final class TextLine {

  /** A pattern that needs more looks at characters than this for one line is given up. */
  private static final int MOST_LOOKS = 200_000;

  private final int[] fieldFrom;
  private final int[] fieldTo;
  private final Matcher matcher;
  private final Looked looked = new Looked();

  byte[] bytes = {};
  int start;
  int end;
  int fieldCount;
  int from;
  int to;

  /**
   * @param longest longest line [bytes]
   * @param pattern for the places that are groups of it
   */
  TextLine(int longest, Pattern pattern) {
    fieldFrom = new int[longest + 1];
    fieldTo = new int[longest + 1];
    matcher = pattern.matcher(looked);
  }

  void set(byte[] line, int length) {
    bytes = line;
    start = 0;
    end = length;
    fieldCount = 0;
  }

  boolean startsWith(byte[] text) {
    return isText(start, Math.min(end, start + text.length), text);
  }

  /** Cuts the line into fields; blanks around them do not belong to them. */
  void split(byte separator) {
    fieldCount = 0;
    boolean runs = isBlank(separator);
    int at = start;
    while (true) {
      while (runs && at < end && isBlank(bytes[at])) {
        at++;
      }
      if (runs && at == end && fieldCount > 0) {
        return;
      }
      int next = at;
      while (next < end && (runs ? !isBlank(bytes[next]) : bytes[next] != separator)) {
        next++;
      }
      span(at, next);
      fieldFrom[fieldCount] = from;
      fieldTo[fieldCount] = to;
      fieldCount++;
      if (next == end) {
        return;
      }
      at = next + 1;
    }
  }

  /** The whole line as its only field. */
  void splitNothing() {
    span(start, end);
    fieldFrom[0] = from;
    fieldTo[0] = to;
    fieldCount = 1;
  }

  void field(int index) {
    from = fieldFrom[index];
    to = fieldTo[index];
  }

  /** Leaves a stretch without the blanks around it. */
  void span(int first, int last) {
    from = first;
    to = last;
    while (from < to && isBlank(bytes[from])) {
      from++;
    }
    while (to > from && isBlank(bytes[to - 1])) {
      to--;
    }
  }

  boolean matches() {
    looked.left = MOST_LOOKS;
    matcher.reset(looked);
    try {
      return matcher.matches();
    } catch (TooManyLooks givenUp) {
      return false;
    }
  }

  boolean group(int number) {
    if (matcher.start(number) < 0) {
      return false;
    }
    span(start + matcher.start(number), start + matcher.end(number));
    return true;
  }

  /** Whether what was found is this text. */
  boolean isText(byte[] text) {
    return isText(from, to, text);
  }

  /** What was found, for messages. */
  String found() {
    return Printable.text(ByteBuffer.wrap(bytes, from, to - from));
  }

  private boolean isText(int first, int last, byte[] text) {
    if (last - first != text.length) {
      return false;
    }
    for (int i = 0; i < text.length; i++) {
      if (bytes[first + i] != text[i]) {
        return false;
      }
    }
    return true;
  }

  private static boolean isBlank(byte b) {
    return b == ' ' || b == '\t';
  }

  private static final class TooManyLooks extends RuntimeException {
    private static final long serialVersionUID = 1;

    TooManyLooks() {
      super("", null, false, false);
    }
  }

  /** The line as characters, for the pattern. */
  private final class Looked implements CharSequence {
    private int left;

    @Override
    public char charAt(int index) {
      if (--left < 0) {
        throw new TooManyLooks();
      }
      return (char) (bytes[start + index] & 0xff);
    }

    @Override
    public int length() {
      return end - start;
    }

    @Override
    public CharSequence subSequence(int first, int last) {
      return new String(bytes, start + first, last - first, StandardCharsets.ISO_8859_1);
    }

    @Override
    public String toString() {
      return new String(bytes, start, end - start, StandardCharsets.ISO_8859_1);
    }
  }
}
