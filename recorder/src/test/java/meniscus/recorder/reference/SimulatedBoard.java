package meniscus.recorder.reference;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import meniscus.core.Needed;

/**
 * The reference board's firmware image, run by simavr with a bench around it: see
 * src/test/c/board_host.c. Its serial port is a pseudo-terminal behind a link.
 */
final class SimulatedBoard implements AutoCloseable {

  private static final Path SOURCE = Path.of("..", "docs", "boards", "board.c");
  private static final Path HOST = Path.of("src", "test", "c", "board_host.c");

  private final Process host;
  private final Writer commands;
  private final BufferedReader answers;
  private final Path link;

  private SimulatedBoard(Process host, Path link) {
    this.host = host;
    this.link = link;
    this.commands = host.outputWriter(StandardCharsets.US_ASCII);
    this.answers =
        new BufferedReader(new InputStreamReader(host.getInputStream(), StandardCharsets.US_ASCII));
  }

  /** Where compilers or simavr are missing the test says so; with CI=true it fails. */
  static void needed() {
    Needed.that(
        works("avr-gcc", "--version")
            && works("gcc", "--version")
            && works("pkg-config", "--exists", "simavr"),
        "gcc-avr, avr-libc, simavr, libsimavr-dev and libelf-dev are not all installed");
  }

  private static boolean works(String... command) {
    try {
      Process process =
          new ProcessBuilder(command)
              .redirectErrorStream(true)
              .redirectOutput(ProcessBuilder.Redirect.DISCARD)
              .start();
      return process.waitFor() == 0;
    } catch (IOException missing) {
      return false;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return false;
    }
  }

  /**
   * Builds and starts a board, beside others or not.
   *
   * @param shared folder for the host, which is built once, and for a folder of this board's own
   * @param flags of the firmware's compiler, such as -DPACKETS
   */
  static SimulatedBoard start(Path shared, String... flags) throws Exception {
    Path program = host(shared);
    Path folder = Files.createTempDirectory(shared, "board");
    Path firmware = folder.resolve("board.elf");
    List<String> compile =
        new ArrayList<>(
            List.of(
                "avr-gcc",
                "-Wall",
                "-Wextra",
                "-Werror",
                "-Os",
                "-mmcu=atmega328p",
                "-DF_CPU=16000000UL"));
    compile.addAll(List.of(flags));
    compile.addAll(List.of("-o", firmware.toString(), SOURCE.toString()));
    run(compile);
    Path link = folder.resolve("board-port");
    SimulatedBoard board =
        new SimulatedBoard(
            new ProcessBuilder(program.toString(), firmware.toString(), link.toString())
                .redirectError(folder.resolve("board-stderr.txt").toFile())
                .start(),
            link);
    board.awaits("ready");
    return board;
  }

  private static synchronized Path host(Path shared) throws IOException, InterruptedException {
    Path program = shared.resolve("board_host");
    if (!Files.exists(program)) {
      run(
          List.of(
              "gcc",
              "-O2",
              "-Wall",
              "-Werror",
              "-o",
              program.toString(),
              HOST.toString(),
              "-lsimavr",
              "-lelf",
              "-lutil",
              "-lm"));
    }
    return program;
  }

  private static void run(List<String> command) throws IOException, InterruptedException {
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    if (process.waitFor() != 0) {
      throw new IllegalStateException(String.join(" ", command) + "\n" + said);
    }
  }

  /** Its serial port. */
  Path port() {
    return link;
  }

  /** Does something to board or bench; back when it is done. */
  void does(String command) throws IOException {
    commands.write(command + "\n");
    commands.flush();
    awaits(command.split(" ")[0]);
  }

  /** Effective area of the port at a lift [mm] by the bench's own formula [m2]. */
  double portArea(double liftMm) throws IOException {
    commands.write("area " + liftMm + "\n");
    commands.flush();
    double area = Double.parseDouble(answers.readLine().split(" ")[1]);
    awaits("area");
    return area;
  }

  /**
   * How blocks were sent since this was asked before, by the chip's own cycles.
   *
   * @param blocks how many
   * @param mean from one to the next [s]
   * @param shortest [s]
   * @param longest [s]
   */
  record Rate(long blocks, double mean, double shortest, double longest) {}

  /** Asks for the rate, and begins anew. */
  Rate rate() throws IOException {
    commands.write("rate\n");
    commands.flush();
    String[] said = answers.readLine().split(" ");
    awaits("rate");
    return new Rate(
        Long.parseLong(said[1]),
        Double.parseDouble(said[2]),
        Double.parseDouble(said[3]),
        Double.parseDouble(said[4]));
  }

  private void awaits(String word) throws IOException {
    String line = answers.readLine();
    while (line != null && !line.equals(word)) {
      line = answers.readLine();
    }
    if (line == null) {
      throw new IOException("the board's host has ended before it said " + word);
    }
  }

  @Override
  public void close() throws IOException {
    commands.close();
    try {
      if (!host.waitFor(10, TimeUnit.SECONDS)) {
        host.destroyForcibly();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
