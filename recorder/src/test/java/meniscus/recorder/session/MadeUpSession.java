package meniscus.recorder.session;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.IntConsumer;
import java.util.function.UnaryOperator;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Frame;
import meniscus.core.time.Moment;
import meniscus.core.time.UtcAnchor;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.BoundInstrument;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.TestClock;
import meniscus.recorder.file.SheetFiles;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;

/** A session whose dial speaks ten times a second, on clocks that a test turns. */
final class MadeUpSession {

  static final Instant STARTED = Instant.parse("2031-05-06T07:08:09Z");

  private static final long FRAME_NANOS = 100_000_000L;
  private static final long FIRST_NANOS = 5_000_000_000L;
  private static final int DIAL = 1;

  final Assembly assembly;
  final List<List<Channel>> channels;
  final Header header;
  final Clocks clocks = new Clocks();
  final TestClock clock = new TestClock(clocks.monotonic::get, clocks, Moment.START);

  /** Two clocks that go on together, until one of them is turned. */
  static final class Clocks extends Clock {
    final AtomicLong monotonic = new AtomicLong(FIRST_NANOS);
    final AtomicLong wallAhead = new AtomicLong();

    @Override
    public Instant instant() {
      return STARTED.plusNanos(monotonic.get() - FIRST_NANOS + wallAhead.get());
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

  MadeUpSession() throws IOException {
    this(bench -> bench);
  }

  /**
   * @param changed the bench file's text
   */
  MadeUpSession(UnaryOperator<String> changed) throws IOException {
    SortedMap<String, byte[]> files = new TreeMap<>();
    for (String name : List.of(Header.BENCH, Header.PLAN)) {
      try (InputStream in = getClass().getResourceAsStream("/meniscus/recorder/record/" + name)) {
        files.put(name, in.readAllBytes());
      }
    }
    String bench = new String(files.get(Header.BENCH), StandardCharsets.UTF_8);
    files.put(Header.BENCH, changed.apply(bench).getBytes(StandardCharsets.UTF_8));
    assembly = Assembly.of(files);
    List<BoundInstrument> wired =
        BoundInstrument.all(
            assembly.bench(),
            sheet -> SheetFiles.read(sheet, Path.of("bench.json")),
            Drivers.shipped());
    channels = wired.stream().map(BoundInstrument::channels).toList();
    List<Header.Columns> columns = new ArrayList<>();
    wired.forEach(one -> columns.add(new Header.Columns(one.instrument().id(), one.channels())));
    header = new Header("test", STARTED, columns, files, Optional.empty());
  }

  /**
   * @param atFrame is told the number of each reading before it is handed over
   */
  TestSession on(Journal journal, IntConsumer atFrame) {
    return new TestSession(
        new Dial(atFrame),
        journal,
        assembly.acquisition(channels),
        assembly.pointMaker(),
        assembly.plan(),
        true,
        Optional.of(clock),
        false);
  }

  void run(TestSession session) throws InterruptedException {
    session.run(new UtcAnchor(clocks.instant(), clock.get()));
  }

  private final class Dial implements Feed {
    private final IntConsumer atFrame;
    private int frames;

    Dial(IntConsumer atFrame) {
      this.atFrame = atFrame;
    }

    @Override
    public Bench bench() {
      return assembly.bench();
    }

    @Override
    public List<List<Channel>> channels() {
      return channels;
    }

    @Override
    public Optional<BenchEvent> next(double waitSeconds) {
      // Stamped before whatever happens: as a reading that waited in a queue.
      Moment stamped = clock.get();
      clocks.monotonic.addAndGet(FRAME_NANOS);
      atFrame.accept(frames++);
      double[] values = new double[channels.get(DIAL).size()];
      Arrays.fill(values, 1e-3);
      return Optional.of(new BenchEvent.Arrived(new Frame(DIAL, stamped, values)));
    }

    @Override
    public Moment now() {
      return clock.get();
    }

    @Override
    public void close() {}
  }
}
