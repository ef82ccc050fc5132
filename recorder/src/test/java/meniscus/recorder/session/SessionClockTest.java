package meniscus.recorder.session;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.concurrent.atomic.AtomicLong;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.TestEvent;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.core.pipeline.Command;
import meniscus.core.pipeline.Frame;
import meniscus.core.time.Moment;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A session on clocks that a test turns: the computer's clock is set, the computer sleeps. */
class SessionClockTest {

  private static final Instant STARTED = Instant.parse("2031-05-06T07:08:09Z");

  @TempDir Path temp;

  /** Two clocks that go on together, until one of them is turned. */
  private static final class Clocks extends Clock {
    final AtomicLong monotonic = new AtomicLong(5_000_000_000L);
    final AtomicLong wallAhead = new AtomicLong();

    @Override
    public Instant instant() {
      return STARTED.plusNanos(monotonic.get() - 5_000_000_000L + wallAhead.get());
    }

    @Override
    public ZoneId getZone() {
      return ZoneOffset.UTC;
    }

    @Override
    public Clock withZone(ZoneId zone) {
      return this;
    }
  }

  /** A dial that speaks ten times a second of the test's clock, and what happens on the way. */
  private static final class Dial implements Feed {
    private final Bench bench;
    private final Clocks clocks;
    private final TestClock clock;
    private final List<List<Channel>> channels;
    private final List<Runnable> atFrame;
    private int frames;

    Dial(
        Bench bench,
        List<List<Channel>> channels,
        Clocks clocks,
        TestClock clock,
        List<Runnable> atFrame) {
      this.bench = bench;
      this.channels = channels;
      this.clocks = clocks;
      this.clock = clock;
      this.atFrame = atFrame;
    }

    @Override
    public Bench bench() {
      return bench;
    }

    @Override
    public List<List<Channel>> channels() {
      return channels;
    }

    @Override
    public Optional<Happening> next(double waitSeconds) {
      Moment stamped = clock.get();
      clocks.monotonic.addAndGet(100_000_000L);
      if (frames < atFrame.size()) {
        atFrame.get(frames).run();
      }
      frames++;
      // Stamped before whatever happened: as a reading that waited in a queue.
      return Optional.of(
          new Happening.Arrived(new Frame(1, stamped, new double[] {1e-3 * frames / 1e3})));
    }

    @Override
    public Moment now() {
      return clock.get();
    }

    @Override
    public void close() {}
  }

  /** What a session wrote while so many frames came and things happened at some of them. */
  private List<Object> written(int frames, int at, java.util.function.Consumer<Clocks> happens)
      throws Exception {
    SortedMap<String, byte[]> files = new TreeMap<>();
    for (String name : List.of(Header.BENCH, Header.PLAN)) {
      files.put(
          name, getClass().getResourceAsStream("/meniscus/recorder/record/" + name).readAllBytes());
    }
    Assembly assembly = Assembly.of(files);
    List<Wired> wired =
        Wired.all(
            assembly.bench(),
            sheet -> meniscus.recorder.file.SheetFiles.read(sheet, temp.resolve("bench.json")),
            Drivers.shipped());
    List<List<Channel>> channels = wired.stream().map(Wired::channels).toList();
    List<Header.Columns> columns = new ArrayList<>();
    wired.forEach(one -> columns.add(new Header.Columns(one.instrument().id(), one.channels())));
    Clocks clocks = new Clocks();
    TestClock clock = new TestClock(clocks.monotonic::get, clocks, Moment.START);
    List<Runnable> atFrame = new ArrayList<>();
    TestSession[] session = new TestSession[1];
    for (int i = 0; i < frames; i++) {
      int frame = i;
      atFrame.add(
          () -> {
            if (frame == at) {
              happens.accept(clocks);
            }
            if (frame == frames - 1) {
              session[0].submit(new Command.Stop("enough"));
            }
          });
    }
    Path folder = Files.createTempDirectory(temp, "test");
    try (FolderLock lock = FolderLock.take(folder);
        Feed feed = new Dial(assembly.bench(), channels, clocks, clock, atFrame);
        Journal journal =
            Journal.create(lock, Optional.empty(), new Header("test", STARTED, columns, files))) {
      session[0] =
          new TestSession(
              feed,
              journal,
              assembly.acquisition(channels),
              assembly.pointMaker(),
              assembly.plan(),
              true,
              Optional.of(clock),
              false);
      session[0].run(clocks.instant());
    }
    return read(folder.resolve(Journal.NAME));
  }

  /** Moments of rows, and events, in their order. */
  private static List<Object> read(Path journal) throws IOException {
    List<Object> all = new ArrayList<>();
    JournalReader.read(
        Disk.REAL,
        journal,
        new JournalVisitor() {
          @Override
          public void row(long momentNanos, int instrument, long present, double[] values) {
            all.add(new Moment(momentNanos));
          }

          @Override
          public void event(TestEvent event) {
            all.add(event);
          }
        });
    return all;
  }

  private static void assertMomentsNeverFall(List<Object> written) {
    Moment last = Moment.START;
    for (Object one : written) {
      Moment moment = one instanceof TestEvent event ? event.moment() : (Moment) one;
      assertTrue(!last.isAfter(moment), "after " + last + " came " + one);
      last = moment;
    }
  }

  private static List<TestEvent> events(List<Object> written, Kind kind) {
    return written.stream()
        .filter(TestEvent.class::isInstance)
        .map(TestEvent.class::cast)
        .filter(event -> event.kind() == kind)
        .toList();
  }

  @Test
  void aWallClockSetBackIsNotedAndChangesNothing() throws Exception {
    List<Object> quiet = written(60, -1, clocks -> {});
    List<Object> setBack =
        written(60, 30, clocks -> clocks.wallAhead.addAndGet(-3_600_000_000_000L));

    assertMomentsNeverFall(setBack);
    assertEquals(1, events(setBack, Kind.CLOCK).size());
    assertTrue(events(setBack, Kind.CLOCK).get(0).detail().contains("-3600.000 s"));
    assertEquals(1, events(setBack, Kind.SEGMENT).size(), "no new segment");
    assertEquals(rows(quiet), rows(setBack), "the test's own clock did not mind");
  }

  @Test
  void afterASleepASegmentBeginsLaterByAsLongAsItSlept() throws Exception {
    // In a sleep the monotonic clock stands still and the wall clock goes on.
    List<Object> slept = written(60, 30, clocks -> clocks.wallAhead.addAndGet(600_000_000_000L));

    assertMomentsNeverFall(slept);
    List<TestEvent> segments = events(slept, Kind.SEGMENT);
    assertEquals(2, segments.size());
    double apart = segments.get(1).moment().secondsSince(segments.get(0).moment());
    assertEquals(603, apart, 1.2);
    Instant anchor = Instant.parse(segments.get(1).detail());
    assertEquals(
        apart,
        (anchor.toEpochMilli() - STARTED.toEpochMilli()) * 1e-3,
        0.01,
        "moments and calendar agree across the sleep");
    List<Moment> rows = rows(slept);
    assertTrue(rows.get(rows.size() - 1).seconds() > 600);
    assertEquals(60, rows.size(), "no reading is lost");
  }

  @Test
  void aClockThatIsHeldInStepByATimeServerIsNotNoted() throws Exception {
    List<Object> slewed = written(60, 30, clocks -> clocks.wallAhead.addAndGet(400_000_000L));
    assertEquals(List.of(), events(slewed, Kind.CLOCK));
    assertEquals(1, events(slewed, Kind.SEGMENT).size());
  }

  private static List<Moment> rows(List<Object> written) {
    return written.stream().filter(Moment.class::isInstance).map(Moment.class::cast).toList();
  }
}
