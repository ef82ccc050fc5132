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
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Settings;
import meniscus.core.pipeline.Frame;
import meniscus.core.pipeline.FrameDecoder;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineListener;
import meniscus.drivers.line.LineReader;
import meniscus.drivers.line.Lines;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.drivers.sheet.SheetJson;
import meniscus.drivers.text.TextStreamDriver;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.openjdk.jmh.profile.GCProfiler;
import org.openjdk.jmh.runner.Runner;
import org.openjdk.jmh.runner.RunnerException;
import org.openjdk.jmh.runner.options.OptionsBuilder;

/** Prints how fast; checks only that nothing is lost. Ratios are of one run on one machine. */
@Tag("bench")
class SpeedTest {

  private static final int LINES = 1_000_000;
  static final int CHUNK_LINES = 200;

  static final InstrumentSheet SHEET =
      SheetJson.sheet(
          "text-stream",
          "{'separator': ',', 'fields': 4, 'checksum': {'kind': 'XOR', 'mark': '*'}, 'channels': ["
              + "{'name': 'depression', 'unit': 'Pa', 'label': 'P1'},"
              + "{'name': 'drop', 'unit': 'Pa', 'label': 'P2'}]}");

  static String line(int number) {
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
  private record Ear(FrameDecoder tap) implements LineListener {

    static Ear of(Consumer<Frame> frames) {
      TextStreamDriver driver = new TextStreamDriver();
      List<Channel> channels = driver.channels(SHEET);
      return new Ear(
          new FrameDecoder(
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

  @Test
  void readingsOnOneCore() throws RunnerException {
    var options =
        new OptionsBuilder()
            .include(PathSpeed.class.getName())
            .addProfiler(GCProfiler.class)
            .shouldFailOnError(true)
            .build();
    assertEquals(5, new Runner(options).run().size());
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
