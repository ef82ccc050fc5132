package meniscus.drivers.line.serial;

import java.util.Objects;
import java.util.Optional;

/**
 * A serial port that is there now.
 *
 * @param path what to open
 * @param description for people
 * @param usb what the device says of itself, if it stands on USB
 */
record SeenPort(String path, String description, Optional<UsbIdentity> usb) {
  SeenPort {
    Objects.requireNonNull(path);
    Objects.requireNonNull(description);
    Objects.requireNonNull(usb);
  }
}
