package meniscus.core.instrument;

import java.nio.ByteBuffer;
import java.util.Locale;

/** Bytes of a stranger as harmless text: printable ASCII as it is, the rest as {@code \xNN}. */
public final class Printable {

  private static final int LONGEST = 200;

  private Printable() {}

  /** At most 200 bytes; a longer run ends in an ellipsis and its length. */
  public static String text(ByteBuffer buffer) {
    StringBuilder text = new StringBuilder();
    int shown = Math.min(buffer.remaining(), LONGEST);
    for (int i = 0; i < shown; i++) {
      int b = buffer.get(buffer.position() + i) & 0xff;
      switch (b) {
        case '\r' -> text.append("\\r");
        case '\n' -> text.append("\\n");
        case '\\' -> text.append("\\\\");
        default -> {
          if (b >= 0x20 && b < 0x7f) {
            text.append((char) b);
          } else {
            text.append(String.format(Locale.ROOT, "\\x%02x", b));
          }
        }
      }
    }
    if (shown < buffer.remaining()) {
      text.append("… (").append(buffer.remaining()).append(" bytes)");
    }
    return text.toString();
  }
}
