package meniscus.drivers.line.serial;

import com.fazecast.jSerialComm.SerialPort;
import com.fazecast.jSerialComm.SerialPortInvalidPortException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import meniscus.core.quantity.Text;
import meniscus.drivers.line.LineLost;

/** The serial library, loaded safely and asked in plain words. */
final class SerialPorts {

  private static final String UNKNOWN = "Unknown";

  private static boolean loaded;

  private SerialPorts() {}

  /**
   * The ports that are there now.
   *
   * @throws LineLost when this computer cannot load the serial library
   */
  static List<SeenPort> present() throws LineLost {
    load();
    return Arrays.stream(SerialPort.getCommPorts()).map(SerialPorts::seen).toList();
  }

  /** A new handle, not yet open; empty when there is no such port. */
  static Optional<SerialPort> handle(String path) throws LineLost {
    load();
    // Of a path that is not there the library would try the same name in /dev: another port.
    if (path.contains("/") && !isThere(path)) {
      return Optional.empty();
    }
    try {
      return Optional.of(SerialPort.getCommPort(path));
    } catch (SerialPortInvalidPortException noSuchPort) {
      return Optional.empty();
    }
  }

  private static boolean isThere(String path) {
    try {
      return Files.exists(Path.of(path));
    } catch (InvalidPathException ofAnotherSystem) {
      return false;
    }
  }

  /** What people call the port, and what {@link #handle} opens. */
  static String name(SerialPort port) {
    return PortPattern.shown(port.getSystemPortPath());
  }

  static SeenPort seen(SerialPort port) {
    String description = port.getPortDescription();
    Optional<UsbIdentity> usb =
        port.getVendorID() < 0
            ? Optional.empty()
            : Optional.of(
                new UsbIdentity(
                    Text.of("%04x:%04x", port.getVendorID(), port.getProductID()),
                    port.getSerialNumber().equals(UNKNOWN) ? "" : port.getSerialNumber(),
                    description,
                    port.getPortLocation()));
    return new SeenPort(name(port), description, usb);
  }

  private static synchronized void load() throws LineLost {
    if (loaded) {
      return;
    }
    try {
      NativeLibrary.load("com.fazecast.jSerialComm.SerialPort");
      loaded = true;
    } catch (IOException | ClassNotFoundException | LinkageError unusable) {
      throw new LineLost(
          "serial ports cannot be used on this computer: the serial library could not be loaded ("
              + unusable.getMessage()
              + ")",
          unusable);
    }
  }
}
