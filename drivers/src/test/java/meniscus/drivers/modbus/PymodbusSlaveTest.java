package meniscus.drivers.modbus;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicReference;
import meniscus.core.Needed;
import meniscus.core.instrument.Decoder;
import meniscus.core.instrument.Settings;
import meniscus.core.time.Moment;
import meniscus.drivers.line.LineReader;
import meniscus.drivers.line.Lines;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.drivers.sheet.SheetJson;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;

/**
 * Against a slave of the pymodbus library behind a serial port, over a wire that spoils answers:
 * its exceptions are read, what is broken, cut, late or missing never becomes a wrong reading, and
 * reading goes on.
 */
@Tag("long")
@EnabledOnOs(value = OS.LINUX, disabledReason = "pseudo-terminals are made the Linux way here")
class PymodbusSlaveTest {

  private static final String PYTHON = "/usr/bin/python3";
  private static final long PATIENCE_SECONDS = 60;

  /** Longer than the driver waits, shorter than it keeps the line quiet afterwards [ms]. */
  private static final long LATE_MS = 1_300;

  private static final Set<String> RIGHT = Set.of("0=1004.0", "1=1010.0", "2=-300.0");

  /** What happens to one answer on its way. */
  private enum Fault {
    NONE,
    BROKEN,
    CUT,
    LATE,
    SILENT,
    NOISE_BEFORE
  }

  private static final String SHEET =
      "{'unit_id': 7, 'every_s': 0, 'timeout_s': 1, 'retries': 1, 'reads': ["
          + "{'address': 4, 'channels': [{'name': 'a', 'unit': 'Pa', 'type': 'uint16'}]},"
          + "{'address': 10, 'channels': [{'name': 'b', 'unit': 'Pa', 'type': 'uint16'}]},"
          + "{'address': 1000, 'channels': [{'name': 'x', 'unit': 'Pa', 'type': 'uint16'}]},"
          + "{'function': 4, 'address': 3, 'channels': [{'name': 'c', 'unit': 'Pa', 'type': 'int16',"
          + " 'points': [{'raw': -10, 'is': -1000}, {'raw': 10, 'is': 1000}]}]}"
          + "]}";

  @TempDir private Path temp;
  private final AtomicReference<Fault> fault = new AtomicReference<>(Fault.NONE);
  private final AtomicBoolean over = new AtomicBoolean();
  private final LinkedBlockingQueue<String> heard = new LinkedBlockingQueue<>();
  private final Set<String> rejected = new HashSet<>();

  @Test
  void exceptionsAreReadAndSpoiltAnswersNeverBecomeAWrongReading() throws Exception {
    needPymodbus();
    try (PseudoTerminal near = PseudoTerminal.open();
        PseudoTerminal far = PseudoTerminal.open()) {
      Process slave = slave(far.path());
      Thread wire = new Thread(() -> carry(near, far), "wire");
      wire.start();
      Decoder decoder = new ModbusRtuDriver().newDecoder(SheetJson.sheet("modbus-rtu", SHEET));
      try (LineReader reader =
          LineReader.start(
              Lines.opener(new Settings("line", Map.of("kind", "serial", "port", near.path()))),
              () -> new Moment(System.nanoTime()),
              new Host(decoder, heard))) {
        hearRounds(3);
        for (Fault each : Fault.values()) {
          fault.set(each);
          hearRounds(3);
        }
        assertTrue(!reader.join(1), "the reader gave up");
      } finally {
        over.set(true);
        slave.destroyForcibly();
        wire.join();
      }
    }
    for (String reason :
        List.of(
            "exception 2, illegal data address",
            "not a whole answer",
            "a late answer?",
            "no part of an answer")) {
      assertTrue(
          rejected.stream().anyMatch(each -> each.contains(reason)),
          () -> "\"" + reason + "\" was not said, but " + rejected);
    }
  }

  /** Until every channel was heard some times after the fault has been put on the wire. */
  private void hearRounds(int rounds) throws InterruptedException {
    int[] times = new int[3];
    long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
    while (fault.get() != Fault.NONE || Math.min(times[0], Math.min(times[1], times[2])) < rounds) {
      String said = heard.poll(PATIENCE_SECONDS, TimeUnit.SECONDS);
      assertTrue(said != null && System.nanoTime() < until, "nothing more comes: " + rejected);
      if (said.matches("\\d=.*")) {
        int channel = said.charAt(0) - '0';
        String value = channel == 3 ? "2" + said.substring(1) : said;
        assertTrue(RIGHT.contains(value), "read wrong: " + said);
        times[Math.min(channel, 2)]++;
      } else {
        rejected.add(said);
      }
    }
  }

  private void carry(PseudoTerminal near, PseudoTerminal far) {
    while (!over.get()) {
      String question = near.read(2);
      if (!question.isEmpty()) {
        far.write(question);
      }
      String answer = far.read(2);
      if (!answer.isEmpty()) {
        spoilt(answer + far.read(20), near);
      }
    }
  }

  private void spoilt(String answer, PseudoTerminal near) {
    switch (fault.getAndSet(Fault.NONE)) {
      case NONE -> near.write(answer);
      case BROKEN ->
          near.write(
              answer.substring(0, 3) + (char) (answer.charAt(3) ^ 0x10) + answer.substring(4));
      case CUT -> near.write(answer.substring(0, answer.length() - 2));
      case LATE -> {
        long until = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(LATE_MS);
        while (System.nanoTime() < until) {
          near.read(20); // What is asked meanwhile goes nowhere.
        }
        near.write(answer);
      }
      case SILENT -> {
        // The answer is lost.
      }
      case NOISE_BEFORE -> near.write("\377\000\007" + answer);
    }
  }

  private Process slave(String port) throws IOException {
    return new ProcessBuilder(
            PYTHON, Path.of("src", "test", "python", "modbus_slave.py").toString(), port)
        .redirectErrorStream(true)
        .redirectOutput(temp.resolve("slave").toFile())
        .start();
  }

  private static void needPymodbus() throws Exception {
    boolean there =
        Files.isExecutable(Path.of(PYTHON))
            && new ProcessBuilder(PYTHON, "-c", "import pymodbus.server, serial")
                    .redirectErrorStream(true)
                    .start()
                    .waitFor()
                == 0;
    Needed.that(there, "no python3 with pymodbus, its slave was not asked");
  }
}
