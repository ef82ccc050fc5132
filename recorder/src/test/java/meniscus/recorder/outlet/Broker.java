package meniscus.recorder.outlet;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;
import meniscus.core.Needed;

/**
 * A broker that is not ours: mosquitto in a process of its own, with a listener for anybody, one by
 * TLS with a password, and one whose certificate has expired.
 */
final class Broker implements AutoCloseable {

  static final String USER = "bench";
  static final String PASSWORD = "a secret of the test";

  private static final Path PROGRAM = Path.of("/usr/sbin/mosquitto");
  private static final Path PASSWORDS = Path.of("/usr/bin/mosquitto_passwd");
  private static final long PATIENCE_SECONDS = 60;

  final int plain = free();
  final int encrypted = free();
  final int expired = free();
  private final Path folder;
  private Process process;

  Broker(Path parent) throws Exception {
    Needed.that(
        Files.isExecutable(PROGRAM) && Files.isExecutable(PASSWORDS),
        "no mosquitto, facts were not carried by a broker");
    folder = Files.createDirectory(parent.resolve("broker"));
    for (String name :
        List.of("ca.pem", "other-ca.pem", "server.pem", "server.key", "expired.pem")) {
      try (var in = Broker.class.getResourceAsStream(name)) {
        Files.copy(in, folder.resolve(name));
      }
    }
    Path passwords = Files.createFile(folder.resolve("passwords"));
    new ProcessBuilder(PASSWORDS.toString(), "-b", passwords.toString(), USER, PASSWORD)
        .start()
        .waitFor();
    Files.writeString(
        folder.resolve("conf"),
        "per_listener_settings true\nuser root\nlistener "
            + plain
            + " 127.0.0.1\nallow_anonymous true\n"
            + tls(encrypted, "server.pem")
            + tls(expired, "expired.pem"));
    start();
  }

  private String tls(int port, String certificate) {
    return "listener "
        + port
        + " 127.0.0.1\nallow_anonymous false\npassword_file "
        + folder.resolve("passwords")
        + "\ncertfile "
        + folder.resolve(certificate)
        + "\nkeyfile "
        + folder.resolve("server.key")
        + "\n";
  }

  Path file(String name) {
    return folder.resolve(name);
  }

  static int free() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }

  void start() throws Exception {
    process =
        new ProcessBuilder(PROGRAM.toString(), "-c", folder.resolve("conf").toString())
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.appendTo(folder.resolve("log").toFile()))
            .start();
    long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(PATIENCE_SECONDS);
    while (!listens()) {
      if (System.nanoTime() > until || !process.isAlive()) {
        throw new AssertionError("the broker does not start: " + Files.readString(file("log")));
      }
      Thread.sleep(20);
    }
  }

  private boolean listens() {
    try (Socket socket = new Socket()) {
      socket.connect(new InetSocketAddress("127.0.0.1", plain), 1_000);
      return true;
    } catch (IOException notYet) {
      return false;
    }
  }

  /** Without any warning, and again. */
  void killAndStart() throws Exception {
    close();
    start();
  }

  @Override
  public void close() {
    process.destroyForcibly().onExit().join();
  }
}
