package meniscus.drivers.line.rfc2217;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import meniscus.core.Needed;
import meniscus.core.instrument.Settings;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.Lines;
import meniscus.drivers.line.serial.PseudoTerminal;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;

/** Against ser2net, a serial server that no one here wrote, and against servers that do not fit. */
@Tag("long")
class Rfc2217LineTest {

  private static final Path SER2NET = Path.of("/usr/sbin/ser2net");

  @TempDir private Path temp;

  @Test
  @EnabledOnOs(value = OS.LINUX, disabledReason = "pseudo-terminals are made the Linux way here")
  void aPortBehindSer2netIsSetAsAskedAndEveryByteGoesBothWays() throws Exception {
    needSer2net();
    try (PseudoTerminal port = PseudoTerminal.open();
        Server server = Server.start(temp, port.path());
        Line line = server.open(Map.of("baud", 19200, "stop_bits", 2))) {
      assertEquals(Optional.empty(), line.remark());
      String all = everyByte();
      port.write(all);
      assertEquals(all, read(line, 256));
      line.write(ByteBuffer.wrap(all.getBytes(StandardCharsets.ISO_8859_1)));
      assertEquals(all, readFrom(port, 256));
      assertEquals("19200", stty(port.path(), "speed").strip());
      assertTrue(stty(port.path(), "-a").contains(" cstopb"), stty(port.path(), "-a"));
    }
  }

  @Test
  void aServerThatIsNoTelnetServerIsReadAsPlainBytesAndThatIsSaid() throws Exception {
    try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      CompletableFuture<Socket> far = later(server::accept);
      CompletableFuture<Line> opening = later(() -> opener(server.getLocalPort(), Map.of()).open());
      Socket socket = far.get(20, TimeUnit.SECONDS);
      send(socket, "P1,+1.000\r\n\377\377");
      try (Line line = opening.get(20, TimeUnit.SECONDS)) {
        assertTrue(
            line.remark().orElseThrow().contains("does not speak RFC 2217"),
            line.remark().toString());
        assertEquals("P1,+1.000\r\n\377\377", read(line, 13));
        send(socket, "more\377");
        assertEquals("more\377", read(line, 5));
      }
      socket.close();
    }
  }

  @Test
  void aTelnetServerWithoutPortControlIsReadAsTelnetAndThatIsSaid() throws Exception {
    try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      CompletableFuture<Socket> far = later(server::accept);
      CompletableFuture<Line> opening = later(() -> opener(server.getLocalPort(), Map.of()).open());
      Socket socket = far.get(20, TimeUnit.SECONDS);
      // Will send plain bytes; will not let its port be set; wants to echo, is told not to.
      send(socket, "\377\373\000\377\376\054\377\373\001x");
      try (Line line = opening.get(20, TimeUnit.SECONDS)) {
        assertTrue(
            line.remark().orElseThrow().contains("does not let its port be set"),
            line.remark().toString());
        send(socket, "y\377\377z");
        assertEquals("xy\377z", read(line, 4));
      }
      String heard =
          new String(socket.getInputStream().readAllBytes(), StandardCharsets.ISO_8859_1);
      assertTrue(heard.contains("\377\376\001"), "it was not told to let the echo be");
      socket.close();
    }
  }

  @Test
  void aServerThatSetsAnotherBaudRateIsRefused() throws Exception {
    try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      CompletableFuture<Socket> far = later(server::accept);
      CompletableFuture<LineLost> refused =
          later(
              () ->
                  assertThrows(
                      LineLost.class,
                      () -> opener(server.getLocalPort(), Map.of("baud", 115200)).open()));
      Socket socket = far.get(20, TimeUnit.SECONDS);
      send(socket, "\377\375\054"); // do: port control
      send(socket, "\377\372\054\145\000\000\045\200\377\360"); // baud is 9600
      send(socket, "\377\372\054\146\010\377\360\377\372\054\147\001\377\360");
      send(socket, "\377\372\054\150\001\377\360");
      String message = refused.get(20, TimeUnit.SECONDS).getMessage();
      assertTrue(message.contains("\"baud\": asked for 115200, set to 9600"), message);
      socket.close();
    }
  }

  @Test
  void settingsAreCheckedBeforeAnythingIsOpened() {
    IllegalArgumentException refused =
        assertThrows(IllegalArgumentException.class, () -> opener(2217, Map.of("parity", "evn")));
    assertTrue(refused.getMessage().contains("even, mark, none, odd, space"), refused.getMessage());
  }

  private static void needSer2net() {
    boolean there = Files.isExecutable(SER2NET);
    Needed.that(there, "no ser2net: nothing independent to test against");
  }

  private static meniscus.drivers.line.LineOpener opener(int port, Map<String, Object> more) {
    Map<String, Object> members = new HashMap<>(more);
    members.putAll(Map.of("kind", "rfc2217", "host", "127.0.0.1", "port", port));
    return Lines.opener(new Settings("line", members));
  }

  private static <T> CompletableFuture<T> later(Callable<T> call) {
    return CompletableFuture.supplyAsync(
        () -> {
          try {
            return call.call();
          } catch (Exception e) {
            throw new IllegalStateException(e);
          }
        },
        task -> new Thread(task).start());
  }

  private static void send(Socket socket, String bytes) throws IOException {
    socket.getOutputStream().write(bytes.getBytes(StandardCharsets.ISO_8859_1));
  }

  private static String everyByte() {
    StringBuilder all = new StringBuilder();
    for (int b = 0; b < 256; b++) {
      all.append((char) b);
    }
    return all.toString();
  }

  private static String read(Line line, int count) throws LineLost {
    ByteBuffer arrived = ByteBuffer.allocate(count);
    long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(20);
    while (arrived.hasRemaining() && System.nanoTime() < until) {
      line.read(arrived, 200);
    }
    return new String(arrived.array(), 0, arrived.position(), StandardCharsets.ISO_8859_1);
  }

  private static String readFrom(PseudoTerminal port, int count) {
    StringBuilder heard = new StringBuilder();
    long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(20);
    while (heard.length() < count && System.nanoTime() < until) {
      heard.append(port.read(200));
    }
    return heard.toString();
  }

  private static String stty(String port, String what) throws Exception {
    Process stty = new ProcessBuilder("stty", "-F", port, what).redirectErrorStream(true).start();
    String said = new String(stty.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    stty.waitFor();
    return said;
  }

  /** A running ser2net with one port. */
  private record Server(Process process, int port) implements AutoCloseable {

    static Server start(Path temp, String device) throws Exception {
      int port;
      try (ServerSocket free = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
        port = free.getLocalPort();
      }
      Path file = temp.resolve("ser2net.yaml");
      Files.writeString(
          file,
          """
          connection: &port
            accepter: telnet(rfc2217),tcp,127.0.0.1,%d
            connector: serialdev,%s,9600n81,local
          """
              .formatted(port, device));
      Process process =
          new ProcessBuilder(
                  SER2NET.toString(),
                  "-n",
                  "-d",
                  "-l",
                  "-u",
                  "-c",
                  file.toString(),
                  "-P",
                  temp.resolve("pid").toString())
              .redirectErrorStream(true)
              .redirectOutput(temp.resolve("said").toFile())
              .start();
      return new Server(process, port);
    }

    Line open(Map<String, Object> members) throws Exception {
      long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(20);
      while (true) {
        try {
          return opener(port, members).open();
        } catch (LineLost notYet) {
          if (!process.isAlive() || System.nanoTime() > until) {
            throw notYet;
          }
        }
      }
    }

    @Override
    public void close() {
      process.destroyForcibly();
    }
  }
}
