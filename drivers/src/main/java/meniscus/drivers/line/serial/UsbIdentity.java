package meniscus.drivers.line.serial;

import java.util.Objects;

/**
 * What a USB serial device says of itself.
 *
 * @param ids vendor and product, for example {@code 1a86:7523}
 * @param serialNumber empty when it has none
 * @param description as the device calls itself
 * @param location where it is plugged in, for example {@code 1-2.3}
 */
record UsbIdentity(String ids, String serialNumber, String description, String location) {
  UsbIdentity {
    Objects.requireNonNull(ids);
    Objects.requireNonNull(serialNumber);
    Objects.requireNonNull(description);
    Objects.requireNonNull(location);
  }

  /** The same device as far as one can tell; two of a kind without serial numbers look alike. */
  boolean looksLike(UsbIdentity other) {
    return ids.equals(other.ids)
        && serialNumber.equals(other.serialNumber)
        && description.equals(other.description);
  }
}
