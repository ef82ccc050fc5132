package meniscus.recorder.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import meniscus.recorder.file.WholeFile;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SharedCalmTest {

  @TempDir private Path temp;

  private Path benchs;
  private Path test;

  @BeforeEach
  void takeCalmRecord() throws IOException {
    benchs = Files.createDirectories(temp.resolve("calm"));
    test = Files.createDirectories(temp.resolve("test/calm"));
    for (Path folder : List.of(benchs, test)) {
      Files.writeString(folder.resolve("plate-20.csv"), "time_s,value\n0.1,1.0\n");
    }
  }

  private void share() {
    SharedCalm.share(test.getParent(), benchs);
  }

  @Test
  void aTestHasTheBenchsOwnFileUnderItsOwnName() throws IOException {
    share();
    share();
    assertTrue(Files.isSameFile(test.resolve("plate-20.csv"), benchs.resolve("plate-20.csv")));
    try (Stream<Path> there = Files.list(test)) {
      assertEquals(1, there.count(), "and nothing is left beside it");
    }
  }

  @Test
  void whatTheBenchWritesLaterIsNoneOfTheTests() throws IOException {
    share();
    WholeFile.write(benchs.resolve("plate-20.csv"), "another\n");
    assertEquals("time_s,value\n0.1,1.0\n", Files.readString(test.resolve("plate-20.csv")));
    share();
    assertFalse(Files.isSameFile(test.resolve("plate-20.csv"), benchs.resolve("plate-20.csv")));
    assertEquals("time_s,value\n0.1,1.0\n", Files.readString(test.resolve("plate-20.csv")));
  }

  @Test
  void whereTheBenchHasNoneTheCopyStays() throws IOException {
    Files.delete(benchs.resolve("plate-20.csv"));
    share();
    assertEquals("time_s,value\n0.1,1.0\n", Files.readString(test.resolve("plate-20.csv")));
  }

  @Test
  void aLinkOfTheBenchsDoesNotBecomeOneInTheTest() throws IOException {
    Path elsewhere = temp.resolve("elsewhere.csv");
    Files.move(benchs.resolve("plate-20.csv"), elsewhere);
    Files.createSymbolicLink(benchs.resolve("plate-20.csv"), elsewhere);
    share();
    assertTrue(Files.isRegularFile(test.resolve("plate-20.csv"), LinkOption.NOFOLLOW_LINKS));
    assertEquals("time_s,value\n0.1,1.0\n", Files.readString(test.resolve("plate-20.csv")));
  }
}
