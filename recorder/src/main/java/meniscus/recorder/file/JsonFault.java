package meniscus.recorder.file;

/** What to do about text that is not JSON, told by what stands where reading it stopped. */
final class JsonFault {

  /** So much is looked at to tell UTF-16 from UTF-8: a brace and the letters after it. */
  private static final int BEGINNING = 64;

  private JsonFault() {}

  /** True for text of two bytes a letter, as some editors store it: it holds zero bytes. */
  static boolean isUtf16(byte[] bytes) {
    for (int i = 0; i < Math.min(BEGINNING, bytes.length); i++) {
      if (bytes[i] == 0) {
        return true;
      }
    }
    return false;
  }

  /**
   * @param offset of the character at which the reader stopped, or just behind it
   */
  static String advice(String text, long offset) {
    int at = (int) Math.min(offset, text.length());
    int here = skip(text, at, 1);
    if (here == text.length()) {
      return text.isBlank()
          ? "the file is empty"
          : "it ends too early; a }, a ] or a quotation mark is missing";
    }
    int before = skip(text, at - 1, -1);
    char found = text.charAt(here);
    char last = before < 0 ? ' ' : text.charAt(before);
    if (found == '/' || found == '#') {
      return "JSON has no comments: take this one out; a remark can stand in \"notes\"";
    }
    if ((found == '}' || found == ']') && last == ',') {
      return "the comma before this " + found + " is one too many";
    }
    if (found == '\'' || found == '\u2018' || found == '\u2019') {
      return "write text in double quotation marks, \"";
    }
    if (found == '\u201c' || found == '\u201d' || found == '\u201e' || found == '\u00ab') {
      return "these are printed quotation marks; write plain ones, \"";
    }
    if (last == '"' && found == ':') {
      return "this member stands here twice; leave one of them out";
    }
    if (text.substring(at, here).indexOf('\n') >= 0 && last == '"' && found == '"') {
      return "a comma is missing before this line";
    }
    if (Character.isDigit(found) && last == ',') {
      return "a decimal comma? Write numbers with a point, as 0.5";
    }
    if (found == '"' || found == '{' || found == '[') {
      return "a comma, or a colon, is missing before this";
    }
    return "this cannot stand here; text goes in quotation marks, numbers are written as -0.5,"
        + " yes and no as true and false, with a comma between two members";
  }

  private static int skip(String text, int from, int step) {
    int at = from;
    while (at >= 0 && at < text.length() && Character.isWhitespace(text.charAt(at))) {
      at += step;
    }
    return Math.max(-1, Math.min(at, text.length()));
  }
}
