package meniscus.recorder.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.InputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** Each command explains itself, with an example, and without complaints on the side. */
class HelpTest {

  private static String help(String... words) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    PrintStream complaints = new PrintStream(err, true, StandardCharsets.UTF_8);
    PrintStream before = System.err;
    System.setErr(complaints); // where the library for options complains
    try {
      int code =
          MeniscusCommand.run(
              new PrintStream(out, true, StandardCharsets.UTF_8),
              complaints,
              InputStream.nullInputStream(),
              words);
      assertEquals(0, code);
    } finally {
      System.setErr(before);
    }
    assertEquals("", err.toString(StandardCharsets.UTF_8), String.join(" ", words));
    return out.toString(StandardCharsets.UTF_8);
  }

  private static List<String> commandsIn(String help) {
    String list = help.substring(help.indexOf("Commands:"));
    return Pattern.compile("(?m)^  ([a-z]+)  ")
        .matcher(list)
        .results()
        .map((MatchResult found) -> found.group(1))
        .toList();
  }

  @Test
  void onlyWhatIsAskedForIsBuilt() {
    assertEquals(List.of(), MeniscusCommand.needed("--version"));
    assertEquals(List.of("figure"), MeniscusCommand.needed("figure", "air"));
    assertTrue(MeniscusCommand.needed("--help").size() > 20);
    assertTrue(MeniscusCommand.needed("help", "figure").size() > 20);
  }

  @Test
  void everyCommandExplainsItselfWithAnExample() {
    List<String> commands = commandsIn(help("--help"));
    assertTrue(commands.size() > 12, commands.toString());
    for (String command : commands) {
      String help = help(command, "--help");
      assertTrue(help.contains("  meniscus " + command + " "), "an example in:\n" + help);
      assertFalse(help.contains("%n") || help.contains("%%"), help);
    }
  }

  @Test
  void everyShopSumExplainsItselfWithAnExample() {
    for (String sum : commandsIn(help("figure", "--help"))) {
      String help = help("figure", sum, "--help");
      assertTrue(help.contains("meniscus figure " + sum + " "), "an example in:\n" + help);
    }
  }

  @Test
  void theListOfCommandsHasWholeSentences() {
    String list = help("--help");
    list = list.substring(list.indexOf("Commands:"), list.indexOf("Exit codes:"));
    for (String entry : list.split("(?m)^  (?=[a-z])")) {
      assertTrue(entry.strip().matches("(?s)Commands:|.*[.]"), entry);
    }
  }

  @Test
  void linesToCopyStayWholeAndPluginOptionsTakeOne() {
    String record = help("record", "--help");
    assertTrue(
        record.contains(
            "  meniscus record --bench bench.json --plan intake.json --out tests/intake-1"
                + " --hands-free\n"),
        record);
    assertFalse(record.contains("--trusted-jars"), record);
    assertTrue(record.contains("\nPlugin options: meniscus help plugins\n"), record);
    String plugins = help("help", "plugins");
    for (String option : List.of("--plugins=DIR", "--trust=SHA256", "--trusted-jars=FILE")) {
      assertTrue(plugins.contains(option), plugins);
    }
    assertEquals(record, help("help", "record"));
  }

  @Test
  void aParagraphIsBrokenWhereTheTerminalEnds() {
    String[] lines = help("calm", "--help").split("\\R");
    for (int i = 1; i < lines.length; i++) {
      String first = lines[i].split(" ")[0];
      boolean flows = !lines[i].isBlank() && Character.isLetter(lines[i].charAt(0));
      if (flows && !lines[i - 1].isBlank() && Character.isLetter(lines[i - 1].charAt(0))) {
        assertTrue(
            lines[i - 1].length() + 1 + first.length() >= 79, lines[i - 1] + " / " + lines[i]);
      }
    }
  }
}
