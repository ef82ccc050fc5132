package meniscus.drivers.line.tcp;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import meniscus.core.Deadline;
import meniscus.core.instrument.Settings;
import meniscus.core.time.Moment;
import meniscus.drivers.line.HeardLines;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.LineOpener;
import meniscus.drivers.line.LineReader;
import meniscus.drivers.line.Lines;
import org.junit.jupiter.api.Test;

/** Against a server on this computer. */
class TcpLineTest {

  @Test
  void bytesGoBothWays() throws Exception {
    try (ServerSocket server = server();
        Line line = opener(server.getLocalPort()).open();
        Socket instrument = server.accept()) {
      line.write(ByteBuffer.wrap(ascii("AIR?\r\n")));
      assertEquals(
          "AIR?\r\n",
          new String(instrument.getInputStream().readNBytes(6), StandardCharsets.US_ASCII));
      assertEquals(0, line.read(ByteBuffer.allocate(10), 10), "nothing was sent yet");
      instrument.getOutputStream().write(ascii("T=22.84"));
      ByteBuffer arrived = ByteBuffer.allocate(7);
      Deadline deadline = Deadline.of("seven bytes");
      while (arrived.hasRemaining()) {
        deadline.check();
        line.read(arrived, 200);
      }
      assertEquals("T=22.84", new String(arrived.array(), StandardCharsets.US_ASCII));
    }
  }

  @Test
  void aServerThatClosesIsALostLineAndIsConnectedToAgain() throws Exception {
    HeardLines heard = new HeardLines();
    try (ServerSocket server = server();
        LineReader reader =
            LineReader.start(
                opener(server.getLocalPort()), () -> new Moment(System.nanoTime()), heard)) {
      try (Socket first = server.accept()) {
        assertEquals("opened", heard.next());
        first.getOutputStream().write(ascii("one\n"));
        assertEquals("one", heard.next());
      }
      assertTrue(heard.next().contains("has closed the connection"));
      try (Socket second = server.accept()) {
        assertEquals("opened", heard.next());
        second.getOutputStream().write(ascii("two\n"));
        assertEquals("two", heard.next());
      }
      assertFalse(reader.join(1), "it goes on reading until it is closed");
    }
  }

  @Test
  void aPortWhereNobodyListensAndAHostThatNobodyKnowsAreSaidSo() throws Exception {
    int free;
    try (ServerSocket server = server()) {
      free = server.getLocalPort();
    }
    LineLost refused = assertThrows(LineLost.class, () -> opener(free).open());
    assertTrue(refused.getMessage().contains("refuses the connection"), refused::getMessage);
    LineOpener nowhere =
        Lines.opener(
            new Settings("bench", Map.of("kind", "tcp", "host", "gauge.invalid", "port", 4001)));
    LineLost unknown = assertThrows(LineLost.class, nowhere::open);
    assertTrue(unknown.getMessage().contains("no host \"gauge.invalid\""), unknown::getMessage);
  }

  @Test
  void aPortThatIsNoneAndAKindThatIsNoneAreRefused() {
    assertRefused(Map.of("kind", "tcp", "host", "10.0.0.20", "port", 70000), "from 1 to 65535");
    assertRefused(Map.of("kind", "tcp", "host", "10.0.0.20"), "\"port\" is missing");
    assertRefused(
        Map.of("kind", "seriall", "port", "x"),
        "there are: command, playback, rfc2217, serial, tcp");
  }

  private static void assertRefused(Map<String, Object> settings, String words) {
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class, () -> Lines.opener(new Settings("bench", settings)));
    assertTrue(refused.getMessage().contains(words), refused::getMessage);
  }

  private static ServerSocket server() throws Exception {
    return new ServerSocket(0, 5, InetAddress.getLoopbackAddress());
  }

  private static LineOpener opener(int port) {
    return Lines.opener(
        new Settings("bench", Map.of("kind", "tcp", "host", "127.0.0.1", "port", port)));
  }

  private static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }
}
