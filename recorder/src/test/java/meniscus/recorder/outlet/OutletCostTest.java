package meniscus.recorder.outlet;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
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
import java.util.stream.LongStream;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestEvent;
import meniscus.core.quantity.Text;
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
 * of a reading into the journal, without an outlet and with one, and the memory.
 */
@Tag("long")
class OutletCostTest {

  /** Beside such a broker, and half as long without it before and after. */
  private static final int SECONDS = Integer.getInteger("meniscus.seconds", 600);

  /** After so long the heap is looked at. */
  private static final int PART_SECONDS = Math.min(60, Math.max(1, SECONDS / 2));

  private static final int WARM_UP_SECONDS = Math.min(20, SECONDS);
  private static final long MOST_GROWTH_BYTES = 8L << 20;
  private static final double MIB = 1.0 / (1 << 20);
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
      Capture capture = new Capture(journal, Optional.empty());
      capture.run(WARM_UP_SECONDS);
      List<long[]> without = new ArrayList<>(capture.parts(SECONDS / 2).took());
      Capture.Parts with;
      try (Outlets outlets =
          Outlets.start(
              bench,
              List.of(new MqttOutlet()),
              new Secrets(temp.resolve("secrets"), Map.of()),
              OutletRun.Pauses.USUAL)) {
        Capture beside = new Capture(journal, Optional.of(outlets));
        beside.run(WARM_UP_SECONDS);
        with = beside.parts(SECONDS);
      }
      without.addAll(capture.parts(SECONDS / 2).took());
      double p99With = p99(with.took());
      double p99Without = p99(without);
      System.out.printf(
          Locale.ROOT,
          "a broker that acknowledges nothing for %d s, and half as long without it before and after:"
              + " reading to journal p99 %.1f us with, %.1f us without, %.2f times; heap grows by"
              + " %.2f MiB (after each %d s: %s); %d facts sent to it%n",
          SECONDS,
          p99With * 1e-3,
          p99Without * 1e-3,
          p99With / p99Without,
          with.growth() * MIB,
          PART_SECONDS,
          with.heaps().stream().map(heap -> Text.of("%.2f", heap * MIB)).toList(),
          silent.published.get());
      assertTrue(silent.published.get() > 0, "nothing was sent");
      assertTrue(with.growth() < MOST_GROWTH_BYTES, with.growth() + " bytes more");
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

  /** Readings on their way into the journal. */
  private final class Capture {

    private final Journal journal;
    private final Optional<Outlets> outlets;

    /**
     * What was measured.
     *
     * @param took how long each reading took into the journal, part by part [ns]
     * @param heaps in use at first, and after each part [bytes]
     */
    record Parts(List<long[]> took, List<Long> heaps) {
      long growth() {
        return heaps.stream().mapToLong(heap -> heap - heaps.get(0)).max().orElseThrow();
      }
    }

    Capture(Journal journal, Optional<Outlets> outlets) {
      this.journal = journal;
      this.outlets = outlets;
    }

    Parts parts(int seconds) {
      List<long[]> took = new ArrayList<>();
      for (int left = seconds; left > 0; left -= PART_SECONDS) {
        took.add(new long[Math.min(left, PART_SECONDS) * HERTZ]);
      }
      List<Long> heaps = new ArrayList<>(List.of(heap()));
      for (long[] part : took) {
        run(part);
        heaps.add(heap());
      }
      return new Parts(took, heaps);
    }

    void run(int seconds) {
      run(new long[seconds * HERTZ]);
    }

    private void run(long[] took) {
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

  /** What is in use right after a collection; the least of three, for others go on meanwhile. */
  private static long heap() {
    Runtime runtime = Runtime.getRuntime();
    return LongStream.range(0, 3)
        .map(
            time -> {
              System.gc();
              return runtime.totalMemory() - runtime.freeMemory();
            })
        .min()
        .orElseThrow();
  }

  private static double p99(List<long[]> took) {
    long[] sorted = took.stream().flatMapToLong(LongStream::of).sorted().toArray();
    return sorted[(int) (0.99 * (sorted.length - 1))];
  }
}
