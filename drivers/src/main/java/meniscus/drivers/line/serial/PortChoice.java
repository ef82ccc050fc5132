package meniscus.drivers.line.serial;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.stream.Collectors;
import meniscus.drivers.line.LineLost;

/**
 * Which of the ports that are there is the instrument's. A device that was open before is known by
 * what it says of itself, wherever it turns up again; one that is not known is found by the name,
 * the pattern or the USB ids of the settings. Pure: the ports are passed in.
 *
 * @param port a name, a pattern with * or ?, or empty
 * @param usb vendor and product, or empty
 * @param usbSerial serial number of the device, or empty
 */
record PortChoice(PortPattern port, String usb, String usbSerial) {

  PortChoice {
    Objects.requireNonNull(port);
    Objects.requireNonNull(usb);
    Objects.requireNonNull(usbSerial);
  }

  PortChoice(String port, String usb, String usbSerial) {
    this(new PortPattern(port), usb, usbSerial);
  }

  /** Whether the name alone cannot say: ids are wanted, or a pattern that is not one of files. */
  boolean needsTheList() {
    return !usb.isEmpty() || !usbSerial.isEmpty() || (port.isPattern() && port.folder().isEmpty());
  }

  /** For people: what is looked for. */
  String wanted() {
    String device =
        usb.isEmpty() ? "" : "USB " + usb + (usbSerial.isEmpty() ? "" : " no. " + usbSerial);
    return port.isEmpty()
        ? device
        : device.isEmpty() ? port.text() : port.text() + " (" + device + ")";
  }

  /**
   * Chooses.
   *
   * @param known what the device was when it was open before
   * @param lastPath where it was open before, or empty
   * @param present the ports that are there
   * @throws LineLost when none or more than one fits
   */
  SeenPort among(List<SeenPort> present, Optional<UsbIdentity> known, String lastPath)
      throws LineLost {
    List<SeenPort> fitting =
        present.stream()
            .filter(seen -> known.isPresent() ? isDevice(seen, known.get()) : fits(seen))
            .toList();
    if (fitting.isEmpty()) {
      throw new LineLost("no serial port fits " + wanted() + "; " + list(present));
    }
    if (fitting.size() == 1) {
      return fitting.get(0);
    }
    return fitting.stream()
        .filter(seen -> known.isPresent() && isAt(seen, known.get().location()))
        .findFirst()
        .or(() -> fitting.stream().filter(seen -> seen.path().equals(lastPath)).findFirst())
        .orElseThrow(
            () ->
                new LineLost(
                    "more than one serial port fits "
                        + wanted()
                        + ": "
                        + names(fitting)
                        + "; name one of them, or give \"usb_serial\""));
  }

  /** What is plugged in, for messages. */
  static String list(List<SeenPort> present) {
    return present.isEmpty()
        ? "none is there at all: is the cable plugged in?"
        : "there are: " + names(present);
  }

  private static String names(List<SeenPort> ports) {
    return ports.stream()
        .map(
            seen ->
                seen.path() + (seen.description().isEmpty() ? "" : " (" + seen.description() + ")"))
        .collect(Collectors.joining(", "));
  }

  static boolean isDevice(SeenPort seen, UsbIdentity known) {
    return seen.usb().filter(known::looksLike).isPresent();
  }

  private static boolean isAt(SeenPort seen, String location) {
    return seen.usb().filter(usb -> usb.location().equals(location)).isPresent();
  }

  private boolean fits(SeenPort seen) {
    return (port.isEmpty() || port.matches(seen.path())) && fitsIds(seen);
  }

  boolean fitsIds(SeenPort seen) {
    return (usb.isEmpty() || seen.usb().filter(found -> found.ids().equals(usb)).isPresent())
        && (usbSerial.isEmpty()
            || seen.usb().filter(found -> found.serialNumber().equals(usbSerial)).isPresent());
  }
}
