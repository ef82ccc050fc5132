package meniscus.recorder.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.stream.Stream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.CalmRef;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.record.Recorder;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SharedCalmTest {

  @TempDir private Path temp;

  private Path benchFile;
  private Path benchs;
  private Path test;

  @BeforeEach
  void takeCalmRecord() throws IOException {
    Path files = Recorder.files(temp);
    benchFile = files.resolve("bench.json");
    Bench bench = BenchFile.read(benchFile);
    CalmRef calm = new CalmRef("calm", "0".repeat(64), Instant.EPOCH);
    BenchFile.write(benchFile, bench.with(upkeep -> upkeep.withCalm(calm)));
    benchs = Files.createDirectories(files.resolve("calm"));
    test = Files.createDirectories(files.resolve("test/calm"));
    for (Path folder : List.of(benchs, test)) {
      Files.writeString(folder.resolve("plate-20.csv"), "time_s,value\n0.1,1.0\n");
    }
  }

  private void share() {
    SharedCalm.share(test.getParent(), benchFile);
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
}
