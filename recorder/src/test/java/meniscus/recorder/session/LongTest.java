package meniscus.recorder.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.SortedMap;
import meniscus.core.pipeline.Command;
import meniscus.core.pipeline.RunState;
import meniscus.recorder.disk.NowhereDisk;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.SmallJournals;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Eight instruments of 2 kHz for long, as fast as they are taken: memory stays what it was. */
class LongTest {

  private static final int LOOKS = 12;

  private static final long GROWS_BYTES = 12L << 20;

  @TempDir Path folder;

  @Test
  void aMinute() throws Exception {
    run(1.0 / 60);
  }

  /** {@code -Dmeniscus.hours=H} for another length. */
  @Test
  @Tag("bench")
  void aDay() throws Exception {
    run(Double.parseDouble(System.getProperty("meniscus.hours", "24")));
  }

  private void run(double hours) throws Exception {
    Path benchFile = folder.resolve("bench.json");
    Path plan = folder.resolve("plan.json");
    for (String name : List.of("bench.json", "plan.json")) {
      try (var in = getClass().getResourceAsStream("/meniscus/recorder/demo/" + name)) {
        Files.write(folder.resolve(name), in.readAllBytes());
      }
    }
    EightInstruments.addDials(benchFile);
    EightInstruments feed = new EightInstruments(benchFile, false);
    SortedMap<String, byte[]> files = FolderFiles.gather(benchFile, plan);
    Assembly assembly = Assembly.of(files);
    List<Header.Columns> columns = new ArrayList<>();
    for (int i = 0; i < feed.channels().size(); i++) {
      columns.add(
          new Header.Columns(assembly.bench().instruments().get(i).id(), feed.channels().get(i)));
    }
    NowhereDisk disk = new NowhereDisk();
    List<Long> used = new ArrayList<>();
    long began = System.nanoTime();
    long rows;
    try (Journal journal =
        SmallJournals.usual(disk, new Header("long", Instant.now(), columns, files))) {
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
              if (now - looked < hours * 3600 / LOOKS) {
                return;
              }
              looked = now;
              System.gc();
              Runtime memory = Runtime.getRuntime();
              used.add(memory.totalMemory() - memory.freeMemory());
              session.submit(
                  now >= 0.999 * hours * 3600
                      ? new Command.Stop("enough")
                      : new Command.Redo(OptionalInt.empty()));
            }
          });
      session.run(Instant.now());
      rows = journal.rows();
    }
    assertEquals(feed.handedOver(), rows, "each reading is written");
    int half = used.size() / 2;
    long earlier = used.subList(0, half).stream().mapToLong(Long::longValue).max().orElseThrow();
    long later =
        used.subList(half, used.size()).stream().mapToLong(Long::longValue).max().orElseThrow();
    double seconds = (System.nanoTime() - began) * 1e-9;
    System.out.printf(
        Locale.ROOT,
        "%.2f simulated hours of 8 instruments at 2 kHz: %d readings, 0 lost, journal %.1f MB, in"
            + " %.0f s (%.2f M/s); memory at most %.1f MiB in the first half, %.1f in the second%n",
        feed.now().seconds() / 3600,
        rows,
        disk.size(SmallJournals.FOLDER.resolve(Journal.NAME)) / 1e6,
        seconds,
        rows / seconds / 1e6,
        earlier / (double) (1 << 20),
        later / (double) (1 << 20));
    assertTrue(later <= earlier + GROWS_BYTES, "grew from " + earlier + " to " + later);
  }
}
