package meniscus.drivers.text;

import java.nio.charset.StandardCharsets;
import java.util.List;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/** Text members of a sheet as bytes: ISO 8859-1, one byte a character. */
final class SheetText {

  private SheetText() {}

  static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.ISO_8859_1);
  }

  static List<byte[]> list(Settings settings, String name) {
    return settings.texts(name).stream().map(SheetText::bytes).toList();
  }

  /**
   * Text of limited length; empty when absent.
   *
   * @throws Refusal when it is too long, or present and empty
   */
  static byte[] upTo(int most, Settings settings, String name) {
    byte[] text = bytes(settings.text(name, ""));
    if (text.length > most || settings.has(name) && text.length == 0) {
      throw new Refusal(
          settings.where()
              + ", \""
              + name
              + "\" must be "
              + (most == 1 ? "one character" : "1 to " + most + " characters"));
    }
    return text;
  }
}
