package meniscus.core.instrument;

import java.nio.ByteBuffer;
import java.util.Arrays;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/** Bytes of a stranger as harmless text: printable ASCII as it is, the rest as {@code \xNN}. */
public final class Printable {

  private static final int LONGEST = 200; // two or three lines of a screen: our own choice

  private Printable() {}

  /** For messages: at most 200 bytes; a longer run ends in an ellipsis and its length. */
  public static String text(ByteBuffer buffer) {
    int shown = Math.min(buffer.remaining(), LONGEST);
    String text = whole(buffer.slice(buffer.position(), shown));
    return shown == buffer.remaining() ? text : text + "… (" + buffer.remaining() + " bytes)";
  }

  /** For files: all bytes, whatever their number; {@link #bytes} reads them back. */
  public static String whole(ByteBuffer buffer) {
    StringBuilder text = new StringBuilder(buffer.remaining() + 16);
    for (int i = 0; i < buffer.remaining(); i++) {
      int b = buffer.get(buffer.position() + i) & 0xff;
      switch (b) {
        case '\r' -> text.append("\\r");
        case '\n' -> text.append("\\n");
        case '\\' -> text.append("\\\\");
        default -> {
          if (b >= 0x20 && b < 0x7f) {
            text.append((char) b);
          } else {
            text.append(Text.of("\\x%02x", b));
          }
        }
      }
    }
    return text.toString();
  }

  /**
   * The bytes that {@link #whole} wrote.
   *
   * @throws Refusal at a character that is not printable ASCII or an unknown escape
   */
  public static byte[] bytes(String text) {
    ByteBuffer bytes = ByteBuffer.allocate(text.length());
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (c < 0x20 || c > 0x7e) {
        throw new Refusal("character " + (i + 1) + " is not printable ASCII; write it as \\xNN");
      }
      if (c != '\\') {
        bytes.put((byte) c);
        continue;
      }
      i++;
      switch (i < text.length() ? text.charAt(i) : ' ') {
        case 'r' -> bytes.put((byte) '\r');
        case 'n' -> bytes.put((byte) '\n');
        case '\\' -> bytes.put((byte) '\\');
        case 'x' -> {
          bytes.put(hexadecimal(text, i + 1));
          i += 2;
        }
        default ->
            throw new Refusal(
                "after the backslash at character " + i + " must stand r, n, x or a backslash");
      }
    }
    return Arrays.copyOf(bytes.array(), bytes.position());
  }

  private static byte hexadecimal(String text, int from) {
    int high = from + 1 < text.length() ? Character.digit(text.charAt(from), 16) : -1;
    int low = from + 1 < text.length() ? Character.digit(text.charAt(from + 1), 16) : -1;
    if (high < 0 || low < 0) {
      throw new Refusal(
          "after \\x at character " + (from - 1) + " must stand two hexadecimal digits");
    }
    return (byte) (high << 4 | low);
  }
}
