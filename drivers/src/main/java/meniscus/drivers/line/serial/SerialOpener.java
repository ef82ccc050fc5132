package meniscus.drivers.line.serial;

import com.fazecast.jSerialComm.SerialPort;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.drivers.line.Line;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.LineOpener;

/**
 * Opens one instrument's port, with a new handle each time; remembers the device, so that it is
 * found again under another name.
 */
final class SerialOpener implements LineOpener {

  private final PortChoice choice;
  private final SerialSettings settings;
  private Optional<UsbIdentity> known = Optional.empty();
  private String lastPath = "";

  SerialOpener(PortChoice choice, SerialSettings settings) {
    this.choice = choice;
    this.settings = settings;
  }

  @Override
  public String name() {
    return choice.wanted();
  }

  @Override
  public Line open() throws LineLost {
    List<SerialPort> candidates = candidates();
    LineLost trouble = new LineLost("");
    for (SerialPort port : candidates) {
      settings.set(port, SerialLine.READ_TIMEOUT_MS);
      if (port.openPort()) {
        known = SerialPorts.seen(port).usb().or(() -> known);
        lastPath = SerialPorts.name(port);
        return new SerialLine(lastPath, port);
      }
      trouble =
          new LineLost(
              OpeningTrouble.explain(
                  SerialPorts.name(port), port.getLastErrorCode(), SerialPorts.present()));
    }
    throw trouble;
  }

  /**
   * By name where that leads to the device (asking one port is cheap and harmless); among all ports
   * only where it must be, since listing them each time has crashed drivers of USB adapters.
   *
   * @return new handles, at least one
   */
  private List<SerialPort> candidates() throws LineLost {
    List<SerialPort> found = new ArrayList<>();
    for (String name : names()) {
      SerialPorts.handle(name).filter(this::isTheDevice).ifPresent(found::add);
    }
    if (found.isEmpty() && (known.isPresent() || choice.needsTheList())) {
      String path = choice.among(SerialPorts.present(), known, lastPath).path();
      SerialPorts.handle(path).ifPresent(found::add);
    }
    if (found.isEmpty()) {
      throw new LineLost(OpeningTrouble.noSuchPort(choice.wanted(), SerialPorts.present()));
    }
    return found;
  }

  private List<String> names() {
    List<String> names = new ArrayList<>();
    // A port that is not on USB tells nothing of itself: its old name may now be another's.
    if (known.isPresent()) {
      names.add(lastPath);
    }
    if (choice.port().isPattern()) {
      names.addAll(matching(choice.port()));
    } else if (!choice.port().isEmpty()) {
      names.add(choice.port().text());
    }
    return names.stream().distinct().toList();
  }

  private boolean isTheDevice(SerialPort port) {
    SeenPort seen = SerialPorts.seen(port);
    return known.isPresent() ? PortChoice.isDevice(seen, known.get()) : choice.fitsIds(seen);
  }

  /** Files that fit a pattern such as {@code /dev/ttyUSB*}, in the order of their names. */
  private static List<String> matching(PortPattern pattern) {
    if (pattern.folder().isEmpty()) {
      return List.of();
    }
    try (Stream<Path> files = Files.list(Path.of(pattern.folder()))) {
      return files.map(Path::toString).filter(pattern::matches).sorted().toList();
    } catch (IOException | UncheckedIOException | InvalidPathException noFolder) {
      return List.of();
    }
  }
}
