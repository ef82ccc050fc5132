package meniscus.drivers.line.serial;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.line.FoundLine;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.LineLost;
import meniscus.drivers.line.LineOpener;

/**
 * Serial ports: {@code {"kind": "serial", "port": "/dev/ttyUSB0", "baud": 115200, "data_bits": 8,
 * "parity": "none", "stop_bits": 1}}. The port may be a pattern ({@code /dev/ttyUSB*}) or be found
 * by {@code "usb"} and {@code "usb_serial"}.
 */
public final class SerialKind implements LineKind {

  @Override
  public String id() {
    return "serial";
  }

  @Override
  public String summary() {
    return "a serial port, built in or on USB";
  }

  @Override
  public int apiVersion() {
    return API_VERSION;
  }

  @Override
  public LineOpener opener(Settings settings) {
    settings.text("kind", id());
    PortChoice choice =
        new PortChoice(
            settings.text("port", ""), settings.text("usb", ""), settings.text("usb_serial", ""));
    SerialSettings serial = SerialSettings.of(settings);
    settings.done();
    if (choice.port().isEmpty() && choice.usb().isEmpty()) {
      throw new Refusal(
          settings.where()
              + ": say which serial port: \"port\" (a name or a pattern), or \"usb\" (the device's"
              + " vendor and product, as 1a86:7523)");
    }
    return new SerialOpener(choice, serial);
  }

  @Override
  public List<FoundLine> found() {
    try {
      return SerialPorts.present().stream().map(this::found).toList();
    } catch (LineLost unusable) {
      return List.of();
    }
  }

  private FoundLine found(SeenPort seen) {
    Map<String, String> ids = new HashMap<>();
    seen.usb()
        .ifPresent(
            usb -> {
              ids.put("usb", usb.ids());
              if (!usb.serialNumber().isEmpty()) {
                ids.put("usb_serial", usb.serialNumber());
              }
            });
    return new FoundLine(id(), seen.path(), seen.description(), ids);
  }
}
