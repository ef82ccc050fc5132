package bench.board;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** The example in docs/writing-a-driver.md is the one that is compiled and tested here. */
class WritingADriverTest {

  @Test
  void theDocumentShowsTheCodeThatIsTested() throws Exception {
    String document =
        Files.readString(Path.of("../docs/writing-a-driver.md"), StandardCharsets.UTF_8);
    for (String name : new String[] {"LetterDriver", "LetterDecoder"}) {
      String code = body(name);
      assertTrue(document.contains(code), "the document does not show this:\n" + code);
    }
    String test = body("LetterDriverTest");
    String shown = test.substring(0, test.indexOf("\n  /** The program's own list"));
    assertTrue(document.contains(shown.strip()), "the document does not show this:\n" + shown);
  }

  /** A file from its class on. */
  private static String body(String name) throws Exception {
    String text =
        Files.readString(
            Path.of("src/test/java/bench/board/" + name + ".java"), StandardCharsets.UTF_8);
    return text.substring(text.indexOf("class " + name));
  }
}
