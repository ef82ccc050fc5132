package meniscus.recorder.look;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.Stream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.recorder.cli.MeniscusCommand;
import meniscus.recorder.file.BenchFile;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * The led check of hoses, signs and units, with a bench wired wrong in every way it names. The
 * bench is three numbers and a line over TCP; what the person does is done when an answer is read.
 */
@Tag("long")
@Timeout(300)
@Execution(ExecutionMode.CONCURRENT) // it waits for a person
class WiringDialogueTest {

  private static final double INCH_OF_WATER = 249.08891;

  @TempDir private Path temp;

  /** What the gauges would show if all were wired right [inH2O, inH2O, mm]. */
  private static final class Stand {
    volatile double plenum;
    volatile double element;
    volatile double lift;
    private long sent;

    synchronized void lineSent() {
      sent++;
      notifyAll();
    }

    /** Back when the program has been sent some lines of what stands now. */
    synchronized void settle() {
      long enough = sent + 10;
      try {
        while (sent < enough) {
          wait();
        }
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
    }
  }

  /** Sends what the stand's gauges show, by the form of the shipped board's lines, till closed. */
  private static final class Gauges implements AutoCloseable {

    private final ServerSocket server = new ServerSocket(0, 5, InetAddress.getLoopbackAddress());
    private final Thread thread;

    Gauges(Stand stand, boolean swapped, DoubleUnaryOperator pressure, DoubleUnaryOperator lift)
        throws IOException {
      thread = new Thread(() -> serve(stand, swapped, pressure, lift), "gauges");
      thread.setDaemon(true);
      thread.start();
    }

    String place() {
      return "tcp:127.0.0.1:" + server.getLocalPort();
    }

    private void serve(
        Stand stand, boolean swapped, DoubleUnaryOperator pressure, DoubleUnaryOperator lift) {
      while (!server.isClosed()) {
        try (Socket reader = server.accept()) {
          OutputStream out = reader.getOutputStream();
          for (int number = 0; ; number = (number + 1) % 65536) {
            double first = swapped ? stand.element : stand.plenum;
            double second = swapped ? stand.plenum : stand.element;
            String covered =
                String.format(
                    Locale.ROOT,
                    "P1,%+07.3f,P2,%+07.3f,L,%+07.3f,D,ERR,T,ERR,H,ERR,N,%05d",
                    pressure.applyAsDouble(first),
                    pressure.applyAsDouble(second),
                    lift.applyAsDouble(stand.lift),
                    number);
            int check = covered.chars().reduce(0, (a, b) -> a ^ b);
            out.write(
                String.format("%s*%02X\r\n", covered, check).getBytes(StandardCharsets.US_ASCII));
            out.flush();
            stand.lineSent();
            Thread.sleep(20);
          }
        } catch (IOException gone) {
          // The program has closed the line; it may open it again.
        } catch (InterruptedException e) {
          return;
        }
      }
    }

    @Override
    public void close() throws IOException {
      server.close();
      thread.interrupt();
    }
  }

  /** A person who does what the next question asks for, then answers. */
  private static final class Person extends InputStream {

    private record Step(Runnable does, String says) {}

    private final Stand stand;
    private final List<Step> steps;
    private int step;
    private byte[] line = {};
    private int next;

    Person(Stand stand, String lift, String pressure) {
      this.stand = stand;
      steps =
          List.of(
              new Step(() -> {}, ""),
              new Step(() -> stand.plenum = 6, ""),
              new Step(
                  () -> {
                    stand.plenum = 0;
                    stand.element = 6;
                  },
                  ""),
              new Step(
                  () -> {
                    stand.element = 0;
                    stand.lift = 2.54;
                  },
                  lift),
              new Step(() -> stand.plenum = 10, pressure));
    }

    @Override
    public int read() {
      byte[] one = new byte[1];
      return read(one, 0, 1) < 0 ? -1 : one[0];
    }

    @Override
    public int read(byte[] into, int from, int most) {
      if (next == line.length) {
        if (step == steps.size()) {
          return -1;
        }
        steps.get(step).does().run();
        if (step > 0) {
          stand.settle();
        }
        line = (steps.get(step++).says() + "\n").getBytes(StandardCharsets.UTF_8);
        next = 0;
      }
      int count = Math.min(most, line.length - next);
      System.arraycopy(line, next, into, from, count);
      next += count;
      return count;
    }
  }

  private record Said(int code, String out, String err) {}

  private static Said look(Person person, Object... words) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    int code =
        MeniscusCommand.run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            person,
            Stream.concat(Stream.of("look"), Stream.of(words))
                .map(Object::toString)
                .toArray(String[]::new));
    return new Said(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  private Said guessed(
      boolean swapped, DoubleUnaryOperator pressure, DoubleUnaryOperator lift, Path bench)
      throws IOException {
    Stand stand = new Stand();
    try (Gauges gauges = new Gauges(stand, swapped, pressure, lift)) {
      return look(
          new Person(stand, "0.100 in", "10 inH2O"),
          "--guess",
          "--on",
          gauges.place(),
          "--seconds",
          "2",
          "--write",
          bench,
          "--wiring");
    }
  }

  private Path bench() {
    return temp.resolve("bench.json");
  }

  @Test
  void aBenchWiredRightIsRight() throws IOException {
    Said said = guessed(false, p -> p, mm -> mm, bench());
    assertEquals(0, said.code(), said.out() + said.err());
    assertFalse(said.out().contains("fault"), said.out());
    assertEquals(4, said.out().lines().filter(line -> line.endsWith(" is right")).count());
    assertFalse(gauge(BenchFile.read(bench())).inverted());
  }

  @Test
  void aGaugeThatFallsWhenOneSucksIsPutRightInTheBenchFile() throws IOException {
    Said said = guessed(false, p -> -p, mm -> mm, bench());
    assertEquals(0, said.code(), said.out() + said.err());
    assertTrue(said.out().contains("Suck gently at the hose of test_pressure"), said.out());
    assertTrue(said.out().contains("falls where it must rise"), said.out());
    Bench written = BenchFile.read(bench());
    assertTrue(gauge(written).inverted(), "test pressure");
    assertTrue(written.ranges().get(0).drop().inverted(), "element drop");
    Stand stand = new Stand();
    try (Gauges gauges = new Gauges(stand, false, p -> -p, mm -> mm)) {
      Files.writeString(
          bench(),
          Files.readString(bench())
              .replaceFirst("\"port\": \\d+", "\"port\": " + gauges.server.getLocalPort()));
      Said again = look(new Person(stand, "", "10 inH2O"), "--bench", bench(), "--wiring");
      assertEquals(0, again.code(), again.out() + again.err());
      assertTrue(again.out().contains("No fault was found."), again.out());
    }
  }

  @Test
  void swappedHosesAreNamed() throws IOException {
    Said said = guessed(true, p -> p, mm -> mm, bench());
    assertEquals(3, said.code(), said.out() + said.err());
    assertTrue(
        said.out().contains("you sucked at test_pressure, but element_drop moved"), said.out());
  }

  /** A transducer on 5 V beside a converter whose reference is 3.3 V: 5 / 3.3 = 1.515. */
  @Test
  void aWrongReferenceIsNamed() throws IOException {
    Said said = guessed(false, p -> p * 5 / 3.3, mm -> mm, bench());
    assertEquals(3, said.code(), said.out() + said.err());
    assertTrue(said.out().contains("5 V and 3.3 V"), said.out());
  }

  @Test
  void millimetresForInchesAreNamed() throws IOException {
    Said said = guessed(false, p -> p, mm -> mm / 25.4, bench());
    assertEquals(3, said.code(), said.out() + said.err());
    assertTrue(said.out().contains("seems to send in, but its sheet says mm"), said.out());
  }

  @Test
  void hectopascalsForInchesOfWaterAreNamed() throws IOException {
    Said said = guessed(false, p -> p * INCH_OF_WATER / 100, mm -> mm, bench());
    assertEquals(3, said.code(), said.out() + said.err());
    assertTrue(
        said.out().contains("seems to send hPa") || said.out().contains("seems to send mbar"),
        said.out());
  }

  private static Source.Measured gauge(Bench bench) {
    return (Source.Measured) bench.source(Use.TEST_PRESSURE).orElseThrow();
  }
}
