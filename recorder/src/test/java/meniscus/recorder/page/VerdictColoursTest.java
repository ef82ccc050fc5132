package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.awt.Color;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/**
 * Colours that mean something: a healthy port's rough air has none that alarms, or the eye learns
 * to pass over the one that matters.
 */
class VerdictColoursTest {

  private static final Path PAGE = Path.of("src/main/resources/meniscus/recorder/page");

  private static final Pattern LOOK =
      Pattern.compile("\\[data-look=\"([a-z]+)\"\\][^{]*\\{[^}]*background: *(#[0-9a-f]{6})");

  @Test
  void roughIsNoWarningAndUnsteadyAndSwitchingAre() throws IOException {
    Map<String, Color> looks = looks();
    assertFalse(warns(looks.get("rough")), "rough: " + looks.get("rough"));
    assertFalse(warns(looks.get("steady")), "steady: " + looks.get("steady"));
    for (String alarm : new String[] {"unsteady", "switching", "faulty"}) {
      assertTrue(warns(looks.get(alarm)), alarm + ": " + looks.get(alarm));
    }
  }

  @Test
  void eachVerdictHasAShapeOfItsOwnBesideTheColour() throws IOException {
    String parts = Files.readString(PAGE.resolve("parts.js"), StandardCharsets.UTF_8);
    for (String look : new String[] {"steady", "rough", "unsteady", "switching", "drifting"}) {
      assertTrue(Pattern.compile("\\n  " + look + ": \\[\\[").matcher(parts).find(), look);
    }
  }

  /** From red over orange and amber to yellow, and not pale. */
  private static boolean warns(Color colour) {
    float[] hsb = Color.RGBtoHSB(colour.getRed(), colour.getGreen(), colour.getBlue(), null);
    return hsb[0] * 360 <= 70 && hsb[1] > 0.4;
  }

  private static Map<String, Color> looks() throws IOException {
    Matcher look =
        LOOK.matcher(Files.readString(PAGE.resolve("style.css"), StandardCharsets.UTF_8));
    Map<String, Color> looks = new TreeMap<>();
    while (look.find()) {
      looks.put(look.group(1), Color.decode(look.group(2)));
    }
    return looks;
  }
}
