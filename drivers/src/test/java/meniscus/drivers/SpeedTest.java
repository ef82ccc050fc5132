package meniscus.drivers;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.management.OperatingSystemMXBean;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import java.util.function.Consumer;
import meniscus.core.air.ReferenceAir;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.budget.SmallBench;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Settings;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.Frame;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.JudgeSettings;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineListener;
import meniscus.drivers.line.LineReader;
import meniscus.drivers.line.Lines;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.drivers.sheet.SheetJson;
import meniscus.drivers.text.TextStreamDriver;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** Prints how fast; checks only that nothing is lost. Ratios are of one run on one machine. */
@Tag("bench")
class SpeedTest {

  private static final int LINES = 1_000_000;
  private static final int CHUNK_LINES = 200;

  private static final InstrumentSheet SHEET =
      SheetJson.sheet(
          "text-stream",
          "{'separator': ',', 'fields': 4, 'checksum': {'kind': 'XOR', 'mark': '*'}, 'channels': ["
              + "{'name': 'depression', 'unit': 'Pa', 'label': 'P1'},"
              + "{'name': 'drop', 'unit': 'Pa', 'label': 'P2'}]}");

  private static String line(int number) {
    String covered =
        String.format(Locale.ROOT, "P1,+%d.%d,P2,+%d.%d", 6974, number % 10, 700, number / 10 % 10);
    int check = 0;
    for (int i = 0; i < covered.length(); i++) {
      check ^= covered.charAt(i);
    }
    return covered + String.format(Locale.ROOT, "*%02X\r\n", check);
  }

  private static byte[] chunk() {
    StringBuilder lines = new StringBuilder();
    for (int i = 0; i < CHUNK_LINES; i++) {
      lines.append(line(i));
    }
    return lines.toString().getBytes(StandardCharsets.US_ASCII);
  }

  /** A line's far end in this program. */
  private record Ear(Acquisition.Tap tap) implements LineListener {

    static Ear of(Consumer<Frame> frames) {
      TextStreamDriver driver = new TextStreamDriver();
      List<Channel> channels = driver.channels(SHEET);
      return new Ear(
          new Acquisition.Tap(
              0,
              channels,
              driver.newDecoder(SHEET),
              frames,
              rejected -> {
                throw new IllegalStateException(rejected.toString());
              }));
    }

    @Override
    public Next opened(Moment at) {
      return tap.opened(at);
    }

    @Override
    public Next bytes(Moment at, ByteBuffer bytes) {
      return tap.bytes(at, bytes);
    }

    @Override
    public Next tick(Moment at) {
      return tap.tick(at);
    }

    @Override
    public void lost(Moment at, String reason) {
      tap.lost(at);
    }

    @Override
    public void waiting(Moment at, String reason) {
      throw new IllegalStateException(reason);
    }
  }

  @Test
  void framingThroughAPseudoTerminalAgainstCat() throws Exception {
    double[] cats = new double[5];
    double[] ours = new double[5];
    for (int run = 0; run < cats.length; run++) {
      cats[run] = cat();
      ours[run] = framed();
      say("run %d: cat %.1f MB/s, framed and decoded %.1f MB/s%n", run, cats[run], ours[run]);
    }
    Arrays.sort(cats);
    Arrays.sort(ours);
    say("framing through a pty against cat, median of 5: %.0f %%%n", 100 * ours[2] / cats[2]);
  }

  private static double written(PseudoTerminal port) {
    byte[] chunk = chunk();
    long start = System.nanoTime();
    for (int i = 0; i < LINES / CHUNK_LINES; i++) {
      port.write(chunk);
    }
    return (double) chunk.length * (LINES / CHUNK_LINES) / (System.nanoTime() - start) * 1e3;
  }

  private static double cat() throws Exception {
    try (PseudoTerminal port = PseudoTerminal.open()) {
      Process cat =
          new ProcessBuilder("cat", port.path())
              .redirectOutput(ProcessBuilder.Redirect.DISCARD)
              .start();
      try {
        return written(port);
      } finally {
        cat.destroyForcibly();
      }
    }
  }

  private static double framed() throws Exception {
    AtomicLong frames = new AtomicLong();
    CountDownLatch all = new CountDownLatch(LINES);
    try (PseudoTerminal port = PseudoTerminal.open();
        LineReader reader =
            LineReader.start(
                Lines.opener(new Settings("t", Map.of("kind", "serial", "port", port.path()))),
                () -> new Moment(System.nanoTime()),
                Ear.of(
                    frame -> {
                      frames.incrementAndGet();
                      all.countDown();
                    }))) {
      double rate = written(port);
      assertTrue(all.await(60, TimeUnit.SECONDS), frames + " of " + LINES);
      assertTrue(!reader.join(1));
      return rate;
    }
  }

  private enum Path {
    TO_FRAMES,
    TO_FLOW_SAMPLES,
    TO_BLOCKS_AND_VERDICTS
  }

  @Test
  void readingsOnOneCore() {
    for (Path path : Path.values()) {
      double best = 0;
      for (int pass = 1; pass <= 5; pass++) {
        best = Math.max(best, readingsASecond(path));
      }
      say("%s: %.2f M readings/s on one core, best of 5%n", path, best * 1e-6);
    }
  }

  /** An instrument at 1 kHz, faster than it could ever be; a new window every 20 s of its time. */
  private static double readingsASecond(Path path) {
    int lines = path == Path.TO_BLOCKS_AND_VERDICTS ? LINES / 2 : 2 * LINES;
    Acquisition acquisition = acquisition();
    long[] frames = new long[1];
    Acquisition.Tap tap =
        new Acquisition.Tap(
            0,
            CHANNELS,
            new TextStreamDriver().newDecoder(SHEET),
            frame -> {
              frames[0]++;
              if (path == Path.TO_BLOCKS_AND_VERDICTS && frames[0] % 20_000 == 1) {
                acquisition.begin(frame.moment());
              }
              if (path != Path.TO_FRAMES) {
                acquisition.accept(frame);
              }
            },
            rejected -> {
              throw new IllegalStateException(rejected.toString());
            });
    byte[][] each = new byte[CHUNK_LINES][];
    for (int i = 0; i < CHUNK_LINES; i++) {
      each[i] = line(i).getBytes(StandardCharsets.US_ASCII);
    }
    long start = System.nanoTime();
    for (int i = 0; i < lines; i++) {
      tap.bytes(new Moment((i + 1) * 1_000_000L), ByteBuffer.wrap(each[i % CHUNK_LINES]));
    }
    double seconds = (System.nanoTime() - start) * 1e-9;
    assertEquals(lines, frames[0]);
    return 2 * lines / seconds;
  }

  private static final List<Channel> CHANNELS =
      List.of(new Channel("depression", Unit.PASCAL), new Channel("drop", Unit.PASCAL));

  private static Acquisition acquisition() {
    Bench small = SmallBench.bench();
    Bench bench =
        new Bench(
            small.name(),
            "",
            small.units(),
            small.site(),
            small.layout(),
            small.plenum(),
            small.instruments(),
            Map.of(
                Use.TEST_PRESSURE, SmallBench.PRESSURE,
                Use.ROOM_TEMPERATURE, new Source.Typed(295, 1),
                Use.ROOM_PRESSURE, new Source.Typed(100_000, 100)),
            small.ranges(),
            small.upkeep());
    return Acquisition.of(
        bench,
        bench.ranges().get(0),
        SmallBench.ELEMENT,
        Direction.SUCTION,
        List.of(CHANNELS),
        JudgeSettings.usual(),
        new ReferenceState(ReferenceAir.DRY_20C, SmallBench.TEST_PRESSURE));
  }

  @Test
  void fromTheLastByteToTheFrame() throws Exception {
    for (int rate : new int[] {10, 100, 1000}) {
      int count = Math.min(6000, 60 * rate);
      List<Long> waited = new ArrayList<>();
      CountDownLatch all = new CountDownLatch(count - 1);
      AtomicLong sent = new AtomicLong();
      try (PseudoTerminal port = PseudoTerminal.open();
          LineReader reader =
              LineReader.start(
                  Lines.opener(new Settings("t", Map.of("kind", "serial", "port", port.path()))),
                  () -> new Moment(System.nanoTime()),
                  Ear.of(
                      frame -> {
                        waited.add(System.nanoTime() - sent.get());
                        all.countDown();
                      }))) {
        long next = System.nanoTime();
        for (int i = 0; i < count; i++) {
          next += 1_000_000_000L / rate;
          while (System.nanoTime() < next) {
            LockSupport.parkNanos(next - System.nanoTime());
          }
          sent.set(System.nanoTime());
          port.write(line(i));
        }
        assertTrue(all.await(20, TimeUnit.SECONDS), all.getCount() + " lines are missing");
        assertTrue(!reader.join(1));
      }
      waited.sort(null);
      say(
          "%d lines/s: p50 %d µs, p99 %d µs%n",
          rate,
          waited.get(waited.size() / 2) / 1000,
          waited.get((int) (waited.size() * 0.99)) / 1000);
    }
  }

  @Test
  void processorTimeOfThreeInstrumentsAtAKilohertz() throws Exception {
    OperatingSystemMXBean process =
        (OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean();
    ThreadMXBean threads = ManagementFactory.getThreadMXBean();
    int seconds = 20;
    AtomicLong frames = new AtomicLong();
    List<PseudoTerminal> ports = new ArrayList<>();
    List<LineReader> readers = new ArrayList<>();
    try {
      for (int i = 0; i < 3; i++) {
        PseudoTerminal port = PseudoTerminal.open();
        ports.add(port);
        readers.add(
            LineReader.start(
                Lines.opener(new Settings("t", Map.of("kind", "serial", "port", port.path()))),
                () -> new Moment(System.nanoTime()),
                Ear.of(frame -> frames.incrementAndGet())));
      }
      long cpu = 0;
      long own = 0;
      for (int ms = -5_000; ms < seconds * 1000; ms++) {
        if (ms == 0) {
          cpu = process.getProcessCpuTime();
          own = threads.getCurrentThreadCpuTime();
        }
        LockSupport.parkNanos(900_000);
        for (PseudoTerminal port : ports) {
          port.write(line(ms & 1023));
        }
      }
      double used = process.getProcessCpuTime() - cpu - (threads.getCurrentThreadCpuTime() - own);
      say("three instruments, %d frames: %.1f %% of a core%n", frames.get(), used / seconds * 1e-7);
    } finally {
      readers.forEach(LineReader::close);
      ports.forEach(PseudoTerminal::close);
    }
    assertTrue(frames.get() >= 3L * (seconds * 1000 + 5_000) - 30, frames + " frames");
  }

  private static void say(String format, Object... arguments) {
    System.out.printf(Locale.ROOT, format, arguments);
  }
}
