package meniscus.recorder.plugin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.instrument.InstrumentDriver;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Settings;
import meniscus.core.instrument.Transcript;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The project in docs/example-driver: what the page shows of it, and that the program takes it. */
class ExampleDriverTest {

  private static final Path DOCS = Path.of("..", "docs");
  private static final Path MAIN = DOCS.resolve("example-driver/src/main");
  private static final Path TEST = DOCS.resolve("example-driver/src/test");

  @TempDir private Path temp;

  @Test
  void thePageShowsTheCodeThatIsBuilt() throws Exception {
    String page = Files.readString(DOCS.resolve("writing-a-driver.md"), StandardCharsets.UTF_8);
    for (Path file :
        List.of(
            MAIN.resolve("java/bench/board/LetterDriver.java"),
            MAIN.resolve("java/bench/board/LetterDecoder.java"),
            TEST.resolve("java/bench/board/LetterDriverTest.java"))) {
      String code = fromItsClassOn(file);
      assertTrue(page.contains(code), () -> "the page does not show this:\n" + code);
    }
  }

  private static String fromItsClassOn(Path file) throws IOException {
    String text = Files.readString(file, StandardCharsets.UTF_8);
    String name = file.getFileName().toString().replace(".java", "");
    return text.substring(text.indexOf("class " + name));
  }

  @Test
  void theProgramTakesItAsAPlugin() throws Exception {
    String services = "META-INF/services/" + InstrumentDriver.class.getName();
    Path folder = Files.createDirectory(temp.resolve("plugins"));
    new JarMaker(temp)
        .file(MAIN.resolve("java/bench/board/LetterDriver.java"))
        .file(MAIN.resolve("java/bench/board/LetterDecoder.java"))
        .file(services, Files.readString(MAIN.resolve("resources").resolve(services)))
        .into(folder.resolve("letter-driver.jar"));

    PluginFolder read = PluginFolder.read(folder, Trust.IN_ALL);

    assertEquals(
        List.of(new Plugin("letter-driver.jar", "letter-count", Optional.empty())), read.found());
    InstrumentSheet sheet =
        new InstrumentSheet("board", "letter-count", new Settings("sheet", Map.of("unit", "Pa")));
    List<Object> said =
        Transcript.received("P\1\2S").play(read.drivers().named("letter-count").newDecoder(sheet));
    assertEquals(258, ((Transcript.Reading) said.get(0)).value());
  }
}
