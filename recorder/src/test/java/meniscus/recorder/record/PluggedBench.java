package meniscus.recorder.record;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import meniscus.core.lift.Sweep;
import meniscus.core.time.Moment;
import meniscus.drivers.line.serial.PseudoTerminal;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.drivers.simulated.SimulatedBench;
import meniscus.drivers.simulated.SimulatedOperator;
import meniscus.drivers.simulated.Truth;

/**
 * The simulated bench behind real serial ports (pseudo-terminals): a port an instrument, named by a
 * link so that an instrument can come back under another name. It runs a little faster than the
 * clock on the wall. For one thread.
 */
final class PluggedBench implements AutoCloseable {

  private static final double PACE = 3;

  private final Path folder;
  private final SimulatedBench bench = new SimulatedBench(Scenario.demo(), 11);
  private final SimulatedOperator operator = new SimulatedOperator(bench, 11);
  private final Map<String, PseudoTerminal> ports = new HashMap<>();
  private final Map<String, Path> links = new HashMap<>();
  private final long startNanos = System.nanoTime();
  private int plugs;

  PluggedBench(Path folder) throws IOException {
    this.folder = folder;
    bench.mount(new Mounted.Head(Scenario.demo().before()));
    plug(SimulatedBench.MANOMETER);
    plug(SimulatedBench.DIAL);
    plug(SimulatedBench.STATION);
  }

  /** What a bench file says instead of {@code "kind": "simulated"}. */
  void wire(Path benchFile) throws IOException {
    for (String instrument : ports.keySet()) {
      Recorder.change(
          benchFile,
          "{\"kind\": \"simulated\", \"instrument\": \"" + instrument + "\"}",
          "{\"kind\": \"serial\", \"port\": \"" + folder + "/" + instrument + "-*\"}");
    }
  }

  void plug(String instrument) throws IOException {
    PseudoTerminal port = PseudoTerminal.open();
    Path link = folder.resolve(instrument + "-" + ++plugs);
    Files.createSymbolicLink(link, Path.of(port.path()));
    ports.put(instrument, port);
    links.put(instrument, link);
  }

  void unplug(String instrument) throws IOException {
    Files.delete(links.remove(instrument));
    ports.remove(instrument).unplug();
  }

  void goTo(double liftM, double testPressurePa) {
    operator.goToLift(liftM, Sweep.OPENING);
    operator.aimPressure(testPressurePa);
    operator.blower(true);
  }

  /** Puts something else on the bench, its blower off. */
  void mount(Mounted what) {
    operator.blower(false);
    operator.mount(what);
  }

  void blow(double testPressurePa) {
    operator.aimPressure(testPressurePa);
    operator.blower(true);
  }

  /** What is really so now. */
  Truth truth() {
    return bench.truth();
  }

  void say(String instrument, String bytes) {
    ports.get(instrument).write(bytes);
  }

  /** Lets time pass until now: bytes go out, questions come in. */
  void turn() {
    operator.advanceTo(new Moment((long) ((System.nanoTime() - startNanos) * PACE)));
    bench.drain(
        (instrument, at, bytes) -> {
          byte[] copy = new byte[bytes.remaining()];
          bytes.get(copy);
          if (ports.containsKey(instrument)) {
            ports.get(instrument).write(copy);
          }
        });
    if (ports.containsKey(SimulatedBench.STATION)) {
      String question = ports.get(SimulatedBench.STATION).read(5);
      bench.received(
          SimulatedBench.STATION, ByteBuffer.wrap(question.getBytes(StandardCharsets.ISO_8859_1)));
    }
  }

  @Override
  public void close() {
    ports.values().forEach(PseudoTerminal::close);
  }
}
