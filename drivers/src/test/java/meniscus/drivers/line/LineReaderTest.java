package meniscus.drivers.line;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Supplier;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Request;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** The loop, on lines that follow a script. */
class LineReaderTest {

  private static final Supplier<Moment> CLOCK = () -> new Moment(System.nanoTime());

  private final HeardLines heard = new HeardLines();
  private final Script script = new Script();
  private final List<LineReader> readers = new ArrayList<>();

  @AfterEach
  void stop() throws Exception {
    for (LineReader reader : readers) {
      reader.close();
      assertTrue(reader.join(10_000), "the reader's thread goes on");
    }
  }

  @Test
  void aLineThatIsLostIsOpenedAgainWithANewHandle() throws Exception {
    start(heard);
    assertEquals("opened", heard.next());
    script.say("one\nhalf");
    assertEquals("one", heard.next());
    script.lose("the cable is out");
    assertEquals("lost: the cable is out", heard.next());
    assertEquals("opened", heard.next());
    script.say("two\n");
    assertEquals("two", heard.next());
    assertEquals(2, script.opened.get());
  }

  @Test
  void theReasonOfWaitingIsToldOnceUntilItChanges() throws Exception {
    script.refuse("no such port", "no such port", "no such port", "busy", "busy");
    start(heard);
    assertEquals("waiting: no such port", heard.next());
    assertEquals("waiting: busy", heard.next());
    assertEquals("opened", heard.next());
  }

  @Test
  void anEndedLineEndsTheReader() throws Exception {
    script.say("last\n");
    script.end();
    LineReader reader = start(heard);
    assertEquals(
        List.of("opened", "last", "ended"), List.of(heard.next(), heard.next(), heard.next()));
    assertTrue(reader.join(10_000));
    assertEquals(1, script.opened.get());
  }

  @Test
  void whatTheListenerWantsSentIsSentInOrder() throws Exception {
    start(
        new HeardLines() {
          @Override
          public Next bytes(Moment at, ByteBuffer bytes) {
            super.bytes(at, bytes);
            return new Next(
                List.of(Request.ofText("A?"), Request.ofText("B?")), java.util.Optional.empty());
          }
        });
    script.say("x");
    assertEquals("A?", script.sent.poll(10, TimeUnit.SECONDS));
    assertEquals("B?", script.sent.poll(10, TimeUnit.SECONDS));
  }

  @Test
  void aSilentLineIsToldToBeQuietAboutOnceASecond() throws Exception {
    AtomicLong clock = new AtomicLong();
    LinkedBlockingQueue<Double> quiet = new LinkedBlockingQueue<>();
    LineReader reader =
        LineReader.start(
            script,
            // Each look at the clock takes a tenth of a second.
            () -> new Moment(clock.addAndGet(100_000_000)),
            new HeardLines() {
              @Override
              public void quiet(Moment at, double silentSeconds) {
                quiet.add(silentSeconds);
              }
            });
    readers.add(reader);
    double first = quiet.poll(20, TimeUnit.SECONDS);
    double second = quiet.poll(20, TimeUnit.SECONDS);
    assertTrue(first >= 1 && first < 1.5, "first after " + first + " s");
    assertTrue(
        second - first >= 1 && second - first < 1.5, "then after " + (second - first) + " s");
  }

  @Test
  void aListenerThatThrowsGivesTheLineBack() throws Exception {
    Thread.UncaughtExceptionHandler before = Thread.getDefaultUncaughtExceptionHandler();
    LinkedBlockingQueue<Throwable> uncaught = new LinkedBlockingQueue<>();
    Thread.setDefaultUncaughtExceptionHandler((thread, thrown) -> uncaught.add(thrown));
    try {
      start(
          new HeardLines() {
            @Override
            public Next bytes(Moment at, ByteBuffer bytes) {
              throw new IllegalStateException("a fault of the listener");
            }
          });
      script.say("x");
      Throwable thrown = uncaught.poll(10, TimeUnit.SECONDS);
      assertEquals("a fault of the listener", String.valueOf(thrown.getMessage()));
      assertTrue(script.current.closed.await(10, TimeUnit.SECONDS), "the line is still held");
    } finally {
      Thread.setDefaultUncaughtExceptionHandler(before);
    }
  }

  private LineReader start(LineListener listener) {
    LineReader reader = LineReader.start(script, CLOCK, listener);
    readers.add(reader);
    return reader;
  }

  /** Opens lines that do what the test says. */
  private static final class Script implements LineOpener {

    private final LinkedBlockingQueue<String> received = new LinkedBlockingQueue<>();
    private final LinkedBlockingQueue<String> sent = new LinkedBlockingQueue<>();
    private final LinkedBlockingQueue<String> refusals = new LinkedBlockingQueue<>();
    private final AtomicInteger opened = new AtomicInteger();
    private volatile ScriptedLine current;

    void say(String text) {
      received.add(text);
    }

    void lose(String reason) {
      received.add("\0lost" + reason);
    }

    void end() {
      received.add("\0end");
    }

    void refuse(String... reasons) {
      refusals.addAll(List.of(reasons));
    }

    @Override
    public String name() {
      return "script";
    }

    @Override
    public Line open() throws LineLost {
      String refusal = refusals.poll();
      if (refusal != null) {
        throw new LineLost(refusal);
      }
      opened.incrementAndGet();
      current = new ScriptedLine(this);
      return current;
    }
  }

  private record ScriptedLine(Script script, CountDownLatch closed) implements Line {

    ScriptedLine(Script script) {
      this(script, new CountDownLatch(1));
    }

    @Override
    public int read(ByteBuffer into, int waitMs) throws LineLost {
      try {
        String text = script.received.poll(Math.min(waitMs, 5), TimeUnit.MILLISECONDS);
        if (closed.getCount() == 0) {
          throw new LineLost("closed");
        }
        if (text == null) {
          return 0;
        }
        if (text.startsWith("\0lost")) {
          throw new LineLost(text.substring(5));
        }
        if (text.equals("\0end")) {
          return ENDED;
        }
        into.put(text.getBytes(StandardCharsets.ISO_8859_1));
        return text.length();
      } catch (InterruptedException interrupted) {
        throw new LineLost("interrupted", interrupted);
      }
    }

    @Override
    public void write(ByteBuffer bytes) {
      script.sent.add(StandardCharsets.ISO_8859_1.decode(bytes).toString());
    }

    @Override
    public void close() {
      closed.countDown();
    }
  }
}
