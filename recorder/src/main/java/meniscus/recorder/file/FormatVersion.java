package meniscus.recorder.file;

import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.refusal.Refusal;

/**
 * The first member of a file: what it is and which version, {@code "bench/1"}. Additions raise the
 * number behind the dot; a program reads every file that is not newer than itself.
 *
 * @param kind bench or plan
 * @param major changed when older programs would misread
 * @param minor changed when members are added
 */
record FormatVersion(String kind, int major, int minor) {

  /** The member of every file that says what the file is. */
  static final String MEMBER = "meniscus";

  private static final Pattern FORM = Pattern.compile("([a-z]+)/(\\d{1,4})(?:\\.(\\d{1,4}))?");

  /**
   * @throws Refusal when the file is something else, or newer than this program
   */
  void check(ObjectReader members) {
    String text = members.text(MEMBER);
    Matcher matcher = FORM.matcher(text);
    if (!matcher.matches() || !matcher.group(1).equals(kind)) {
      throw new Refusal(
          members.where()
              + ": this is \""
              + text
              + "\"; a "
              + kind
              + " file says \"meniscus\": \""
              + this
              + "\"");
    }
    int itsMajor = Integer.parseInt(matcher.group(2));
    int itsMinor = matcher.group(3) == null ? 0 : Integer.parseInt(matcher.group(3));
    if (itsMajor != major || itsMinor > minor) {
      throw new Refusal(
          members.where()
              + ": it is written as "
              + text
              + " and this program reads up to "
              + this
              + (itsMajor < major ? "" : ": it comes from a newer Meniscus, use that one"));
    }
  }

  /** Whether a file with this in its first member is of this kind, of any version. */
  boolean isNamedBy(Object member) {
    return member instanceof String text && text.startsWith(kind + "/");
  }

  @Override
  public String toString() {
    return kind + "/" + major + (minor == 0 ? "" : "." + minor);
  }
}
