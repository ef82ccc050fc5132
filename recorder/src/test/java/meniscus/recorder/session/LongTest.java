package meniscus.recorder.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.OperatingSystemMXBean;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.SortedMap;
import meniscus.core.pipeline.Command;
import meniscus.core.pipeline.RunState;
import meniscus.core.time.UtcAnchor;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import meniscus.recorder.journal.Recovered;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Eight instruments of 2 kHz for long, as fast as they are taken: every reading is in the journal
 * and memory stays what it was. A day is one test an hour, each in a folder of its own on the disk;
 * each rung is averaged for a twelfth of its test, and kept.
 */
@Tag("long")
class LongTest {

  private static final int RUNGS = 12;

  private static final long GROWS_BYTES = 12L << 20;

  @TempDir Path folder;

  private final List<Long> usedBytes = new ArrayList<>();
  private long readings;
  private long journalBytes;

  @Test
  void aMinute() throws Exception {
    run(1, 1.0 / 60);
  }

  /** {@code -Dmeniscus.hours=H} for another number of tests. */
  @Test
  @Tag("bench")
  void aDay() throws Exception {
    run(Integer.getInteger("meniscus.hours", 24), 1);
  }

  private void run(int tests, double hours) throws Exception {
    Path benchFile = folder.resolve("bench.json");
    Path plan = folder.resolve("plan.json");
    for (Path file : List.of(benchFile, plan)) {
      try (var in =
          getClass().getResourceAsStream("/meniscus/recorder/demo/" + file.getFileName())) {
        Files.write(file, in.readAllBytes());
      }
    }
    EightInstruments.addDials(benchFile);
    long began = System.nanoTime();
    long processor = processorNanos();
    for (int test = 1; test <= tests; test++) {
      test(benchFile, plan, folder.resolve("test-" + test), hours);
      System.out.printf(
          Locale.ROOT,
          "%.2f simulated hours of 8 instruments at 2 kHz: %d readings handed over and read back"
              + " from journals of %.2f GB; %.0f s, %.0f s of the processor; memory of this test"
              + " at most %.1f MiB%n",
          test * hours,
          readings,
          journalBytes * 1e-9,
          (System.nanoTime() - began) * 1e-9,
          (processorNanos() - processor) * 1e-9,
          mebibytes(most(usedBytes.size() - RUNGS, usedBytes.size())));
    }
    long earlier = most(0, usedBytes.size() / 2);
    long later = most(usedBytes.size() / 2, usedBytes.size());
    System.out.printf(
        Locale.ROOT,
        "memory at most %.1f MiB in the first half, %.1f in the second%n",
        mebibytes(earlier),
        mebibytes(later));
    assertTrue(later <= earlier + GROWS_BYTES, "grew from " + earlier + " to " + later);
  }

  private void test(Path benchFile, Path plan, Path out, double hours) throws Exception {
    SortedMap<String, byte[]> files = FolderFiles.gather(benchFile, plan);
    Assembly assembly = Assembly.of(files);
    EightInstruments feed = new EightInstruments(benchFile, false);
    List<Header.Columns> columns = new ArrayList<>();
    for (int i = 0; i < feed.channels().size(); i++) {
      columns.add(
          new Header.Columns(assembly.bench().instruments().get(i).id(), feed.channels().get(i)));
    }
    int kept;
    Files.createDirectory(out);
    try (FolderLock lock = FolderLock.take(out);
        Journal journal =
            Journal.create(
                lock,
                Optional.empty(),
                new Header("long", Instant.now(), columns, files, Optional.empty()))) {
      TestSession session =
          new TestSession(
              feed,
              journal,
              assembly.acquisition(feed.channels()),
              assembly.pointMaker(),
              assembly.plan(),
              false,
              Optional.empty(),
              false);
      session.listen(
          new SessionListener() {
            private double looked;

            @Override
            public void state(RunState state) {
              double now = feed.now().seconds();
              if (now - looked < hours * 3600 / RUNGS) {
                return;
              }
              looked = now;
              while (!journal.force().safe()) {
                // What waits for a busy disk is not what the test takes up.
              }
              System.gc();
              Runtime memory = Runtime.getRuntime();
              usedBytes.add(memory.totalMemory() - memory.freeMemory());
              session.submit(new Command.Keep(true));
            }
          });
      session.run(new UtcAnchor(Instant.now(), feed.now()));
      kept = session.ladder().points().size();
    }
    assertEquals(RUNGS, kept, "rungs kept");
    Path file = out.resolve(Journal.NAME);
    Written written = new Written();
    Recovered read = JournalReader.read(Disk.REAL, file, written);
    assertEquals(List.of(), read.damage());
    assertEquals(RUNGS, read.standing().size(), "points in the journal");
    assertEquals(feed.handedOver(), written.rows, "each reading is in the journal");
    assertEquals(feed.fingerprint(), written.fingerprint, "as it was read");
    readings += written.rows;
    journalBytes += Files.size(file);
    Files.delete(file);
  }

  /** What a journal holds, looked at as it goes by. */
  private static final class Written implements JournalVisitor {
    private long rows;
    private long fingerprint;

    @Override
    public void row(long momentNanos, int instrument, long present, double[] values)
        throws IOException {
      rows++;
      for (int channel = 0; channel < Long.bitCount(present); channel++) {
        fingerprint = EightInstruments.with(values[channel], fingerprint);
      }
    }
  }

  private long most(int from, int to) {
    return usedBytes.subList(from, to).stream().mapToLong(Long::longValue).max().orElseThrow();
  }

  private static double mebibytes(long bytes) {
    return bytes / (double) (1 << 20);
  }

  private static long processorNanos() {
    return ((OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean())
        .getProcessCpuTime();
  }
}
