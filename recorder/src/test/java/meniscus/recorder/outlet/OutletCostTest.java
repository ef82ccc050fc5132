package meniscus.recorder.outlet;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.UUID;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.IntStream;
import java.util.stream.LongStream;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestEvent;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.drivers.mqtt.MqttOutlet;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.record.Recorder;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What a broker costs the capture that takes everything and never acknowledges any of it: the way
 * of a reading into the journal, in turn without an outlet and with one, and the memory.
 */
@Tag("long")
class OutletCostTest {

  private static final int TURNS = 10;
  private static final int SECONDS = Integer.getInteger("meniscus.seconds", 120);
  private static final int WARM_UP_SECONDS = Math.min(20, SECONDS);
  private static final long MOST_GROWTH_BYTES = 8L << 20;
  private static final int HERTZ = 1_000;
  private static final int KEPT_EVERY_SECONDS = 2;

  @TempDir Path temp;

  private int rung;
  private long row;

  @Test
  @Tag("bench")
  void aBrokerThatNeverAnswersCostsTheCaptureNothing() throws Exception {
    Path files = Recorder.files(temp);
    Path bench = files.resolve("bench.json");
    Path out = Files.createDirectory(temp.resolve("out"));
    try (SilentBroker silent = new SilentBroker();
        FolderLock lock = FolderLock.take(out);
        Journal journal = Journal.create(lock, Optional.empty(), header(files))) {
      Recorder.change(
          bench,
          "\"bench/1\"",
          "\"bench/1.1\", \"outlets\": [{\"name\": \"shop\", \"plugin\": \"mqtt\", \"address\":"
              + " \"mqtt://127.0.0.1:"
              + silent.port()
              + "\"}]");
      journal.event(new TestEvent(Moment.START, 0, new TestEvent.Segment(Instant.now())));
      new FollowedTests(bench.resolveSibling(Outlets.FOLDER)).add(out);
      long[] warmUp = new long[WARM_UP_SECONDS * HERTZ];
      long[][] took = new long[TURNS][SECONDS * HERTZ];
      capture(journal, Optional.empty(), warmUp);
      long growth = 0;
      for (int turn = 0; turn < TURNS; turn++) {
        if (turn % 2 == 0) {
          capture(journal, Optional.empty(), took[turn]);
        } else {
          try (Outlets outlets =
              Outlets.start(
                  bench,
                  List.of(new MqttOutlet()),
                  new Secrets(temp.resolve("secrets"), Map.of()),
                  OutletRun.Pauses.USUAL)) {
            capture(journal, Optional.of(outlets), warmUp);
            long before = heap();
            capture(journal, Optional.of(outlets), took[turn]);
            growth = Math.max(growth, heap() - before);
          }
        }
      }
      double without = p99(took, 0);
      double with = p99(took, 1);
      System.out.printf(
          Locale.ROOT,
          "a broker that acknowledges nothing, %d x %d s with it and as long without, in turn: reading"
              + " to journal p99 %.1f us with, %.1f us without, %.2f times; heap grows by %.2f MiB;"
              + " %d facts sent to it%n",
          TURNS / 2,
          SECONDS,
          with * 1e-3,
          without * 1e-3,
          with / without,
          growth / 1048576.0,
          silent.published.get());
      assertTrue(silent.published.get() > 0, "nothing was sent");
      assertTrue(growth < MOST_GROWTH_BYTES, growth + " bytes more");
    }
  }

  private static Header header(Path files) throws IOException {
    SortedMap<String, byte[]> inHeader = new TreeMap<>();
    for (String name : List.of(Header.BENCH, Header.PLAN)) {
      inHeader.put(name, Files.readAllBytes(files.resolve(name)));
    }
    List<Channel> channels = List.of(new Channel("p", Unit.PASCAL), new Channel("d", Unit.PASCAL));
    return new Header(
        "Meniscus",
        Instant.now(),
        List.of(new Header.Columns("manometer", channels)),
        inHeader,
        Optional.of(UUID.randomUUID()));
  }

  /** How long each reading took into the journal [ns]. */
  private void capture(Journal journal, Optional<Outlets> outlets, long[] took) {
    long began = System.nanoTime();
    for (int i = 0; i < took.length; i++) {
      long due = began + i * TimeUnit.SECONDS.toNanos(1) / HERTZ;
      while (System.nanoTime() < due) {
        LockSupport.parkNanos(due - System.nanoTime());
      }
      long at = System.nanoTime();
      journal.row(++row * 1_000_000, 0, 7000 + i % 7, 3000 + i % 5);
      took[i] = System.nanoTime() - at;
      if (i % (KEPT_EVERY_SECONDS * HERTZ) == HERTZ) {
        Moment now = Moment.START.plusSeconds(row * 1e-3);
        journal.kept(point(++rung, now), new TestEvent(now, 0, new TestEvent.Kept(rung, 1)));
        outlets.ifPresent(Outlets::poke);
      }
    }
  }

  private static LiftPoint point(int rung, Moment at) {
    OptionalDouble unknown = OptionalDouble.empty();
    return new LiftPoint(
        new LiftPoint.Taken(rung, 1, 1, at, 1e-3, Sweep.OPENING, "large"),
        new LiftPoint.Flow(1e-4, 0.01, unknown, unknown, unknown),
        new LiftPoint.Setting(7000, true, unknown, unknown),
        new LiftPoint.Average(Verdict.STEADY, unknown, 2, 10, false),
        List.of(),
        List.of());
  }

  private static long heap() throws InterruptedException {
    Runtime runtime = Runtime.getRuntime();
    for (int i = 0; i < 3; i++) {
      System.gc();
      Thread.sleep(50);
    }
    return runtime.totalMemory() - runtime.freeMemory();
  }

  /** Over every second turn. */
  private static double p99(long[][] took, int first) {
    long[] sorted =
        IntStream.range(0, TURNS)
            .filter(turn -> turn % 2 == first)
            .boxed()
            .flatMapToLong(turn -> LongStream.of(took[turn]))
            .sorted()
            .toArray();
    return sorted[(int) (0.99 * (sorted.length - 1))];
  }
}
