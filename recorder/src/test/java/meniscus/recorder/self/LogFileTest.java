package meniscus.recorder.self;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class LogFileTest {

  @TempDir private Path folder;

  @Test
  void theFirstEntryOfARunStandsUnderWhichProgramOnWhichMachine() throws IOException {
    Path file = folder.resolve("state").resolve("meniscus.log");
    LogFile log = new LogFile(file, 1000);
    assertTrue(log.add("WARN Line: port gone\n"));
    assertTrue(log.add("WARN Line: port back"));
    List<String> lines = Files.readAllLines(file);
    assertEquals(3, lines.size(), lines.toString());
    assertTrue(lines.get(0).contains("Java " + System.getProperty("java.version")), lines.get(0));
    assertTrue(lines.get(0).contains(System.getProperty("os.name")), lines.get(0));
    assertTrue(lines.get(1).endsWith("Z WARN Line: port gone"), lines.get(1));
    assertTrue(lines.get(2).endsWith("Z WARN Line: port back"), lines.get(2));
  }

  @Test
  void aFullFileGivesWayAndOnlyTheLatestAreKept() throws IOException {
    LogFile log = new LogFile(folder.resolve("meniscus.log"), 100);
    for (int i = 1; i <= 50; i++) {
      log.add("entry " + i + " " + "x".repeat(40));
    }
    try (Stream<Path> files = Files.list(folder)) {
      assertEquals(
          List.of("meniscus.log", "meniscus.log.1", "meniscus.log.2"),
          files.map(each -> each.getFileName().toString()).sorted().toList());
    }
    assertTrue(Files.readString(folder.resolve("meniscus.log")).contains("entry 50 "));
    assertTrue(Files.readString(folder.resolve("meniscus.log.1")).contains("entry 48 "));
  }

  @Test
  void theHomeFolderIsNotTold() throws IOException {
    LogFile log = new LogFile(folder.resolve("meniscus.log"), 1000);
    log.add("cannot read " + Path.of(System.getProperty("user.home"), "bench.json"));
    String written = Files.readString(folder.resolve("meniscus.log"));
    assertTrue(written.contains("cannot read ~"), written);
    assertFalse(written.contains(System.getProperty("user.home")), written);
  }

  @Test
  void whereNothingCanBeWrittenNothingBreaks() throws IOException {
    Path inTheWay = Files.createFile(folder.resolve("state"));
    assertFalse(new LogFile(inTheWay.resolve("meniscus.log"), 1000).add("lost"));
  }
}
