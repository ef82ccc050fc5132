package meniscus.drivers.line.serial;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.function.Supplier;
import meniscus.core.Deadline;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Request;
import meniscus.core.instrument.Settings;
import meniscus.core.time.Moment;
import meniscus.drivers.line.HeardLines;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineListener;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.LineOpener;
import meniscus.drivers.line.LineReader;
import meniscus.drivers.line.Lines;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;

/** Through the real serial library and a pseudo-terminal. */
@EnabledOnOs(value = OS.LINUX, disabledReason = "pseudo-terminals are made the Linux way here")
class SerialLineTest {

  private static final int NOBODY = 65534;
  private static final Supplier<Moment> CLOCK = () -> new Moment(System.nanoTime());

  @TempDir Path folder;

  private final List<LineReader> readers = new ArrayList<>();

  @AfterEach
  void giveTheLinesBack() throws Exception {
    for (LineReader reader : readers) {
      reader.close();
      reader.join(10_000);
    }
  }

  private void read(String port, LineListener listener) {
    readers.add(LineReader.start(opener(port), CLOCK, listener));
  }

  @Test
  void linesArriveAsTheyWereSent() throws Exception {
    HeardLines heard = new HeardLines();
    try (PseudoTerminal gauge = PseudoTerminal.open()) {
      read(gauge.path(), heard);
      assertEquals("opened", heard.next());
      for (int i = 0; i < 1000; i++) {
        gauge.write("P1,+" + i + "\n");
      }
      for (int i = 0; i < 1000; i++) {
        assertEquals("P1,+" + i, heard.next());
      }
    }
  }

  @Test
  void everyByteValueGoesThroughUnchangedBothWays() throws Exception {
    byte[] all = new byte[256];
    for (int i = 0; i < all.length; i++) {
      all[i] = (byte) i;
    }
    try (PseudoTerminal gauge = PseudoTerminal.open();
        Line line = opener(gauge.path()).open()) {
      gauge.write(all);
      ByteBuffer arrived = ByteBuffer.allocate(256);
      while (arrived.hasRemaining()) {
        assertTrue(line.read(arrived, 200) > 0, "only " + arrived.position() + " bytes");
      }
      assertEquals(ByteBuffer.wrap(all), arrived.flip());
      line.write(ByteBuffer.wrap(all));
      StringBuilder back = new StringBuilder();
      while (back.length() < 256) {
        String more = gauge.read(5000);
        assertTrue(!more.isEmpty(), "only " + back.length() + " bytes came back");
        back.append(more);
      }
      assertEquals(new String(all, StandardCharsets.ISO_8859_1), back.toString());
    }
  }

  @Test
  void aQuestionGoesOutAndItsAnswerComesBack() throws Exception {
    HeardLines asking =
        new HeardLines() {
          @Override
          public Next opened(Moment at) {
            super.opened(at);
            return Next.send(Request.ofText("AIR?\r\n"), at.plusSeconds(60));
          }
        };
    try (PseudoTerminal station = PseudoTerminal.open()) {
      read(station.path(), asking);
      assertEquals("opened", asking.next());
      assertEquals("AIR?\r\n", station.read(5000));
      station.write("T=22.84\n");
      assertEquals("T=22.84", asking.next());
    }
  }

  @Test
  void aTickThatIsDueSoonComesThoughTheLineIsSilent() throws Exception {
    HeardLines waiting =
        new HeardLines() {
          @Override
          public Next opened(Moment at) {
            super.opened(at);
            return Next.wake(at.plusSeconds(0.03));
          }
        };
    try (PseudoTerminal gauge = PseudoTerminal.open()) {
      read(gauge.path(), waiting);
      assertEquals("opened", waiting.next());
      assertEquals("tick", waiting.next());
    }
  }

  @Test
  void unpluggedInMidStreamAndBackUnderAnotherName() throws Exception {
    unplugAndReplug(3);
  }

  @Test
  @Tag("bench")
  void fiftyTimesUnplugged() throws Exception {
    unplugAndReplug(50);
  }

  private void unplugAndReplug(int cycles) throws Exception {
    HeardLines heard = new HeardLines();
    PseudoTerminal gauge = PseudoTerminal.open();
    Path name = link("gauge-0", gauge);
    double worst = 0;
    read(folder + "/gauge-*", heard);
    assertEquals("opened", heard.next());
    for (int cycle = 1; cycle <= cycles; cycle++) {
      gauge.write("before " + cycle + "\nhalf a li");
      assertEquals("before " + cycle, heard.next());
      // Made before the other is gone, so that it cannot get the same number.
      PseudoTerminal again = PseudoTerminal.open();
      Files.delete(name);
      gauge.unplug();
      String lost = heard.next();
      assertTrue(lost.startsWith("lost: ") && lost.contains("unplugged"), lost);
      name = link("gauge-" + cycle, again);
      long replugged = System.nanoTime();
      String then = heard.next();
      if (then.startsWith("waiting: ")) {
        then = heard.next();
      }
      assertEquals("opened", then);
      gauge = again;
      gauge.write("after " + cycle + "\n");
      assertEquals("after " + cycle, heard.next());
      worst = Math.max(worst, (System.nanoTime() - replugged) * 1e-9);
    }
    gauge.close();
    System.out.printf("%d unplug cycles, worst replug to first line %.3f s%n", cycles, worst);
  }

  @Test
  void garbageIsPassedOnAsItIs() throws Exception {
    byte[] garbage = new byte[20_000];
    new Random(4711).nextBytes(garbage);
    try (PseudoTerminal gauge = PseudoTerminal.open();
        Line line = opener(gauge.path()).open()) {
      Thread writer = new Thread(() -> gauge.write(garbage));
      writer.start();
      ByteBuffer arrived = ByteBuffer.allocate(garbage.length);
      Deadline deadline = Deadline.of("20 000 bytes of garbage");
      while (arrived.hasRemaining()) {
        deadline.check();
        line.read(arrived, 200);
      }
      writer.join();
      assertEquals(ByteBuffer.wrap(garbage), arrived.flip());
    }
  }

  @Test
  void aPortThatAnotherProgramHoldsIsSaidToBeHeld() throws Exception {
    try (PseudoTerminal gauge = PseudoTerminal.open()) {
      Process other =
          new ProcessBuilder(
                  System.getProperty("java.home") + "/bin/java",
                  "-cp",
                  System.getProperty("java.class.path"),
                  HoldsAPort.class.getName(),
                  gauge.path())
              .redirectError(ProcessBuilder.Redirect.INHERIT)
              .start();
      try {
        assertEquals("held", other.inputReader(StandardCharsets.US_ASCII).readLine());
        assertRefused(gauge.path(), "held by another program", "close it there");
      } finally {
        other.destroy();
        other.waitFor();
      }
      opener(gauge.path()).open().close();
    }
  }

  @Test
  void aPortThatThisProgramHoldsIsSaidToBeHeld() throws Exception {
    try (PseudoTerminal gauge = PseudoTerminal.open();
        Line line = opener(gauge.path()).open()) {
      assertRefused(gauge.path(), "held by another program");
      assertEquals(0, line.read(ByteBuffer.allocate(1), 0), "the first handle still works");
    }
  }

  @Test
  void aPortThatIsNotThereIsSaidToBeMissingAndTheOthersAreListed() throws Exception {
    assertRefused("/dev/ttyNoSuchPort7", "no serial port /dev/ttyNoSuchPort7", "there");
    assertRefused(folder + "/gauge-*", "no serial port", "gauge-*");
  }

  @Test
  void aNameThatOnlyEndsLikeAPortIsNotThatPort() throws Exception {
    assertRefused(folder + "/tty", "no serial port");
  }

  @Test
  void aFileOrAFolderIsNotASerialPort() throws Exception {
    Path file = Files.writeString(folder.resolve("notes.txt"), "P1,+1.0\n");
    assertRefused(file.toString(), "is not a serial port");
    assertRefused(folder.toString(), "is not a serial port");
  }

  @Test
  void aPortThatThisUserMayNotOpenNamesTheGroupThatMay() throws Exception {
    try (PseudoTerminal gauge = PseudoTerminal.open()) {
      Files.setPosixFilePermissions(
          Path.of(gauge.path()), PosixFilePermissions.fromString("---------"));
      SerialPorts.present();
      LineOpener opener = opener(gauge.path());
      int before = PseudoTerminal.openFilesAs(NOBODY);
      try {
        LineLost refused = assertThrows(LineLost.class, opener::open);
        assertTrue(
            refused.getMessage().contains("may not be opened by this user"), refused::getMessage);
        assertTrue(refused.getMessage().contains("group"), refused::getMessage);
      } finally {
        PseudoTerminal.openFilesAs(before);
      }
    }
  }

  @Test
  void closingEndsAReadOfAnotherThreadAndMayBeDoneTwice() throws Exception {
    HeardLines heard = new HeardLines();
    try (PseudoTerminal gauge = PseudoTerminal.open()) {
      LineReader reader = LineReader.start(opener(gauge.path()), CLOCK, heard);
      assertEquals("opened", heard.next());
      reader.close();
      reader.close();
      assertTrue(reader.join(10_000), "the reader's thread goes on");
      assertEquals(List.of(), heard.rest());
      opener(gauge.path()).open().close();
    }
  }

  @Test
  void aListenerThatHangsCannotHoldThePort() throws Exception {
    HeardLines hanging =
        new HeardLines() {
          @Override
          public Next bytes(Moment at, ByteBuffer bytes) {
            super.bytes(at, bytes);
            while (true) {
              java.util.concurrent.locks.LockSupport.park();
            }
          }
        };
    try (PseudoTerminal gauge = PseudoTerminal.open()) {
      LineReader reader = LineReader.start(opener(gauge.path()), CLOCK, hanging);
      assertEquals("opened", hanging.next());
      gauge.write("x\n");
      assertEquals("x", hanging.next());
      reader.close();
      assertFalse(reader.join(1), "it should still hang");
      opener(gauge.path()).open().close();
    }
  }

  @Test
  void settingsThatMakeNoSenseAreRefusedByName() {
    assertMakesNoSense("no member \"bauds\"", "did you mean \"baud\"", "bauds", 9600);
    assertMakesNoSense("\"baud\"", "from 50 to 4000000", "baud", 10);
    assertMakesNoSense("\"parity\"", "even, mark, none, odd, space", "parity", "some");
    assertMakesNoSense("\"stop_bits\"", "1, 1.5 or 2", "stop_bits", 3);
    assertMakesNoSense("\"data_bits\"", "from 5 to 8", "data_bits", 9);
    IllegalArgumentException noPort =
        assertThrows(
            IllegalArgumentException.class,
            () -> Lines.opener(new Settings("bench.json", Map.of("kind", "serial"))));
    assertTrue(noPort.getMessage().contains("say which serial port"), noPort::getMessage);
  }

  private static void assertMakesNoSense(String what, String how, String member, Object value) {
    Map<String, Object> members = new LinkedHashMap<>(Map.of("kind", "serial", "port", "/dev/x"));
    members.put(member, value);
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class,
            () -> Lines.opener(new Settings("bench.json", members)));
    assertTrue(
        refused.getMessage().contains(what) && refused.getMessage().contains(how),
        refused::getMessage);
  }

  private static void assertRefused(String port, String... says) throws Exception {
    LineLost refused = assertThrows(LineLost.class, () -> opener(port).open());
    for (String part : says) {
      assertTrue(refused.getMessage().contains(part), refused::getMessage);
    }
  }

  private Path link(String name, PseudoTerminal gauge) throws Exception {
    return Files.createSymbolicLink(folder.resolve(name), Path.of(gauge.path()));
  }

  private static LineOpener opener(String port) {
    return Lines.opener(
        new Settings("bench.json", Map.of("kind", "serial", "port", port, "baud", 115200)));
  }
}
