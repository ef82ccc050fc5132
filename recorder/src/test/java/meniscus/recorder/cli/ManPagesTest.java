package meniscus.recorder.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import meniscus.core.Needed;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ManPagesTest {

  @TempDir private Path folder;

  @Test
  void everyCommandHasItsPageWithItsOptionsAndAnExample() {
    Map<String, String> pages = ManPages.all();
    assertTrue(
        pages
            .keySet()
            .containsAll(List.of("meniscus.1", "meniscus-record.1", "meniscus-figure-air.1")),
        pages.keySet().toString());
    String record = pages.get("meniscus-record.1");
    assertTrue(record.contains("\\fB\\-\\-hands\\-free\\fR"), record);
    assertTrue(record.contains("meniscus record "), record);
    assertTrue(pages.get("meniscus.1").contains(".SH EXIT STATUS\n.TP\n0\ndone"));
    pages.values().forEach(page -> assertFalse(page.contains("${") || page.contains("%n"), page));
  }

  /** Its warnings are about orders that it does not know. */
  @Test
  void manHasNothingToSayAgainstThem() throws Exception {
    for (Map.Entry<String, String> page : ManPages.all().entrySet()) {
      Files.writeString(folder.resolve(page.getKey()), page.getValue());
      assertEquals("", said("groff", "-man", "-Tutf8", "-ww", "-z", page.getKey()), page.getKey());
    }
  }

  @Test
  void bashCompletesCommandsAndOptions() throws Exception {
    Files.writeString(folder.resolve("completion"), ManPages.completion());
    String commands = completed("meniscus rec");
    assertTrue(commands.contains("record") && commands.contains("recompute"), commands);
    assertTrue(completed("meniscus record --hands").contains("--hands-free"));
  }

  private String completed(String line) throws Exception {
    String words = "(" + line + ")";
    return said(
        "bash",
        "-c",
        "source ./completion; COMP_WORDS="
            + words
            + "; COMP_CWORD=$((${#COMP_WORDS[@]}-1)); _complete_meniscus; echo \"${COMPREPLY[@]}\"");
  }

  private String said(String... command) throws Exception {
    try {
      Process process =
          new ProcessBuilder(command).directory(folder.toFile()).redirectErrorStream(true).start();
      String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      process.waitFor();
      return said;
    } catch (IOException absent) {
      Needed.that(false, "no " + command[0]);
      throw absent;
    }
  }
}
