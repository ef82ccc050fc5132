package meniscus.core.compare;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import meniscus.core.finding.Finding;
import meniscus.core.lift.TestCurve;

/**
 * Findings as a reader meets them, with numbers in them: whole sentences, without what a program
 * lets slip. {@code -Dmeniscus.aloud=true} prints them all.
 */
public final class ReadAloud {

  private static final boolean PRINTED = Boolean.getBoolean("meniscus.aloud");

  /** Not a number, a plural of one, a blank too many, a mark after a blank, half a pair. */
  private static final Pattern SLIP =
      Pattern.compile(
          "NaN|Infinity|null|\\bOptional|  |\\s[.,;:]|[.,;:]{2}"
              + "|\\b1 (more )?(runs|lifts|readings|times|tests|ports)\\b|-0(\\.0+)? ");

  private ReadAloud() {}

  /** Compares, and reads what is found. */
  public static Comparison compared(
      List<TestCurve> before, List<TestCurve> after, Question question) {
    Comparison comparison = Comparison.of(before, after, question);
    read(comparison.findings());
    return comparison;
  }

  /** Reads findings. */
  public static List<Finding> read(List<Finding> findings) {
    for (Finding finding : findings) {
      whole(finding.sentence());
      whole(finding.nextStep());
      finding.evidence().forEach(ReadAloud::clean);
      if (PRINTED) {
        System.out.println(
            "ALOUD "
                + finding.kind().word()
                + " | "
                + finding.sentence()
                + " | "
                + finding.evidence()
                + " | "
                + finding.nextStep());
      }
    }
    return findings;
  }

  private static void whole(String text) {
    clean(text);
    assertTrue(text.matches("(?s)[\\p{Lu}\"0-9].*[.!?]"), "no whole sentence: " + text);
  }

  private static void clean(String text) {
    assertFalse(text.isBlank());
    assertFalse(SLIP.matcher(text).find(), "a slip in: " + text);
    assertTrue(Stream.of(text.split("")).filter("\""::equals).count() % 2 == 0, text);
    assertTrue(
        text.chars().filter(c -> c == '(').count() == text.chars().filter(c -> c == ')').count(),
        text);
  }
}
