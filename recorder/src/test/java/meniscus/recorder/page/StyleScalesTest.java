package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** The page's style: one scale of type, one of spaces, and every size is a step of them. */
class StyleScalesTest {

  private static final Pattern TYPE = Pattern.compile("font-size: ([^;}]+)[;}]");

  private static final Pattern SPACE =
      Pattern.compile(
          "(?<![\\w-])(?:(?:padding|margin)(?:-[a-z]+)*|gap|row-gap|column-gap): ([^;}]+)[;}]");

  /** A step of the scale; nothing hides a word, inherit and auto are no sizes of their own. */
  private static final String TYPE_STEP = "var\\(--(t[1-6]|far[1-9])\\)|0|inherit";

  private static final String SPACE_STEP = "var\\(--(s[1-7]|f[1-5])\\)|0|auto";

  private final String style = new String(WebFiles.bytes("style.css"), StandardCharsets.UTF_8);

  private List<String> values(Pattern property) {
    return property
        .matcher(style)
        .results()
        .map((MatchResult found) -> found.group(1).replace("!important", "").strip())
        .toList();
  }

  private static List<String> strange(Stream<String> values, String step) {
    return values.filter(value -> !value.matches(step)).distinct().toList();
  }

  @Test
  void everySizeOfTypeIsAStepOfTheScale() {
    List<String> sizes = values(TYPE);
    assertTrue(sizes.size() > 40, "they are found: " + sizes.size());
    assertEquals(List.of(), strange(sizes.stream(), TYPE_STEP));
  }

  @Test
  void everySpaceIsAStepOfTheScale() {
    List<String> spaces = values(SPACE);
    assertTrue(spaces.size() > 80, "they are found: " + spaces.size());
    assertEquals(
        List.of(),
        strange(spaces.stream().flatMap(all -> Stream.of(all.split("\\s+"))), SPACE_STEP));
  }

  @Test
  void theZeroLineIsHeavierThanTheGrid() {
    assertTrue(width("zero") > width("curve .grid"), "heavier");
  }

  private double width(String lines) {
    return Pattern.compile("\\." + lines + " \\{[^}]*stroke-width: ([0-9.]+)")
        .matcher(style)
        .results()
        .map(found -> Double.parseDouble(found.group(1)))
        .findFirst()
        .orElse(1.0); // what a line has that says nothing else
  }
}
