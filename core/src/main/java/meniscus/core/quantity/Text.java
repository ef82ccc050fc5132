package meniscus.core.quantity;

import java.util.Locale;

/** Words and numbers in one line, with a decimal point whatever the computer's language is. */
public final class Text {

  private Text() {}

  /**
   * @param form of {@link java.util.Formatter}
   */
  public static String of(String form, Object... parts) {
    return String.format(Locale.ROOT, form, parts);
  }
}
