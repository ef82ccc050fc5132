package meniscus.recorder.cli.terminal;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import meniscus.recorder.cli.MeniscusCommand;
import org.junit.jupiter.api.Test;

/** Written for a terminal of Windows, which nobody has tried; the old pages of letters are real. */
class TerminalTextTest {

  /** The page of letters of Western Europe, as a Windows terminal shows it out of the box. */
  private static final Charset OLD_PAGE = Charset.forName("IBM850");

  @Test
  void dataIsUtf8WhereverItGoesAndSoIsATerminalThatIsNotOfWindows() {
    assertEquals(StandardCharsets.UTF_8, charset("Linux", Optional.of(StandardCharsets.US_ASCII)));
    assertEquals(StandardCharsets.UTF_8, charset("Windows 11", Optional.empty()));
    assertEquals(OLD_PAGE, charset("Windows 11", Optional.of(OLD_PAGE)));
  }

  @Test
  void aDegreeIsADegreeOnATerminalOfWindows() {
    ByteArrayOutputStream shown = new ByteArrayOutputStream();
    PrintStream out = new TerminalText(OLD_PAGE).out(shown);
    out.println("23 \u00B0C");
    out.print("\u00B1 0.3 m\u00B3");
    assertEquals("23 \u00B0C" + System.lineSeparator() + "\u00B1 0.3 m\u00B3", text(shown));
    assertEquals((byte) 0xF8, shown.toByteArray()[3], "one byte, the one of that page");
  }

  @Test
  void whatAnOldPageLacksIsWrittenAsSomethingNear() {
    ByteArrayOutputStream shown = new ByteArrayOutputStream();
    PrintStream out = new TerminalText(OLD_PAGE).out(shown);
    out.print("\u22120.5 \u2265 \u22121\u2026");
    out.printf("%s \u2192 %s", "a", "b");
    assertEquals("-0.5 >= -1...a -> b", text(shown));
  }

  @Test
  void theWholeProgramSpeaksInThatPageHelpIncluded() {
    ByteArrayOutputStream shown = new ByteArrayOutputStream();
    PrintStream out = new TerminalText(OLD_PAGE).out(shown);
    MeniscusCommand.run(out, out, new ByteArrayInputStream(new byte[0]), "leakage", "--help");
    ByteArrayOutputStream plain = new ByteArrayOutputStream();
    PrintStream utf8 = new PrintStream(plain, true, StandardCharsets.UTF_8);
    MeniscusCommand.run(utf8, utf8, new ByteArrayInputStream(new byte[0]), "leakage", "--help");
    String help = plain.toString(StandardCharsets.UTF_8);
    assertTrue(help.contains("P,\u2026"), help);
    assertEquals(help.replace("\u2026", "..."), text(shown));
  }

  @Test
  void whatIsTypedInAnOldPageIsUnderstood() throws IOException {
    byte[] typed = "note \u00FCber 4 \u00B0\n".getBytes(OLD_PAGE);
    assertArrayEquals(
        "note \u00FCber 4 \u00B0\n".getBytes(StandardCharsets.UTF_8),
        new TerminalText(OLD_PAGE).in(new ByteArrayInputStream(typed)).readAllBytes());
  }

  private static Charset charset(String system, Optional<Charset> terminal) {
    return TerminalText.forSystem(system, terminal).charset();
  }

  private static String text(ByteArrayOutputStream shown) {
    return shown.toString(OLD_PAGE);
  }
}
