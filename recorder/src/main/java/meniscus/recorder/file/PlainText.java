package meniscus.recorder.file;

/**
 * Text of strangers as it can be shown on a terminal or a page: nothing in it moves the cursor,
 * turns the direction of text or fills the screen.
 */
public final class PlainText {

  private static final int LONGEST_MESSAGE = 1_500;
  private static final int END_OF_MESSAGE = 400;

  private PlainText() {}

  /** Line breaks and tabs stay; what {@link #shown} replaces is replaced. */
  public static String of(String text) {
    return text.codePoints().allMatch(c -> shown(c) == c)
        ? text
        : text.codePoints()
            .map(PlainText::shown)
            .collect(StringBuilder::new, StringBuilder::appendCodePoint, StringBuilder::append)
            .toString();
  }

  /** The same without what is in the middle of a message that quotes too much. */
  public static String message(String text) {
    String plain = of(text);
    return plain.length() <= LONGEST_MESSAGE
        ? plain
        : plain.substring(0, LONGEST_MESSAGE - END_OF_MESSAGE)
            + " … "
            + plain.substring(plain.length() - END_OF_MESSAGE);
  }

  /** Control characters, lone surrogates and what turns the direction of text become U+FFFD. */
  public static int shown(int c) {
    boolean space = c == '\n' || c == '\t';
    int type = Character.getType(c);
    boolean odd =
        type == Character.CONTROL
            || type == Character.FORMAT
            || type == Character.SURROGATE
            || type == Character.UNASSIGNED
            || type == Character.LINE_SEPARATOR
            || type == Character.PARAGRAPH_SEPARATOR;
    return odd && !space ? 0xFFFD : c;
  }
}
