package meniscus.drivers;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.Next;
import meniscus.core.pipeline.FrameDecoder;
import meniscus.core.time.Moment;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineListener;
import meniscus.drivers.line.LineOpener;
import meniscus.drivers.line.LineReader;
import meniscus.drivers.sheet.SheetJson;
import meniscus.drivers.text.TextStreamDriver;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;

/** An instrument that talks for hours, at full speed in its own time, with damage in between. */
@Tag("long")
class LongRunTest {

  private static final long MEMORY_MAY_GROW = 4_000_000;

  @Test
  void anHourAtFiftyLinesASecondNeedsNoMoreMemoryAtItsEnd() throws Exception {
    run(1);
  }

  @Test
  @Tag("bench")
  void aWholeDay() throws Exception {
    run(24);
  }

  private static void run(int hours) throws Exception {
    long lines = hours * 3600L * 50;
    TextStreamDriver driver = new TextStreamDriver();
    var sheet =
        SheetJson.sheet(
            "text-stream",
            "{'separator': ' ', 'fields': 3, 'expect': [{'field': 1, 'text': 'DP'}],"
                + " 'channels': [{'name': 'drop', 'unit': 'mbar', 'field': 2}]}");
    List<Channel> channels = driver.channels(sheet);
    AtomicLong frames = new AtomicLong();
    AtomicLong rejects = new AtomicLong();
    AtomicLong early = new AtomicLong();
    AtomicLong late = new AtomicLong();
    FrameDecoder tap =
        new FrameDecoder(
            0,
            channels,
            driver.newDecoder(sheet),
            frame -> {
              long number = frames.incrementAndGet();
              if (number == lines / 10) {
                early.set(used());
              } else if (number == lines - lines / 10) {
                late.set(used());
              }
            },
            rejected -> rejects.incrementAndGet());
    try (LineReader reader =
        LineReader.start(new Talker(lines), () -> Moment.START, new Ear(tap))) {
      assertTrue(reader.join(TimeUnit.MINUTES.toMillis(9)), "still running: " + frames);
    }
    long damaged = (lines + 999) / 1000;
    // The first line after opening is passed over without a word: its beginning may be missing.
    assertEquals(damaged - 1, rejects.get());
    assertEquals(lines - damaged, frames.get());
    assertTrue(
        late.get() - early.get() < MEMORY_MAY_GROW,
        "grew from " + early + " to " + late + " bytes");
  }

  private static long used() {
    for (int i = 0; i < 3; i++) {
      System.gc();
    }
    return Runtime.getRuntime().totalMemory() - Runtime.getRuntime().freeMemory();
  }

  /** Says a line every 20 ms of its own time; each thousandth is damaged, the first among them. */
  private record Talker(long lines) implements LineOpener {

    @Override
    public String name() {
      return "talker";
    }

    @Override
    public Line open() {
      return new Line() {
        private long said;

        @Override
        public int read(ByteBuffer into, int waitMs) {
          if (said == lines) {
            return ENDED;
          }
          String label = said % 1000 == 0 ? "DQ" : "DP";
          byte[] line =
              (label + " " + said % 977 + ".5 mbar\r\n").getBytes(StandardCharsets.US_ASCII);
          said++;
          into.put(line);
          return line.length;
        }

        @Override
        public void write(ByteBuffer bytes) {
          throw new IllegalStateException("nothing is asked of it");
        }

        @Override
        public Moment time(Moment now) {
          return new Moment(said * 20_000_000L);
        }

        @Override
        public void close() {
          // Nothing is held.
        }
      };
    }
  }

  private record Ear(FrameDecoder tap) implements LineListener {

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
      throw new IllegalStateException(reason);
    }

    @Override
    public void waiting(Moment at, String reason) {
      throw new IllegalStateException(reason);
    }
  }
}
