package meniscus.drivers.line.serial;

import com.fazecast.jSerialComm.SerialPort;
import java.util.Map;
import java.util.stream.Collectors;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/**
 * How a port is set.
 *
 * @param baud symbols a second
 * @param dataBits 5 to 8
 * @param parity as the serial library counts it
 * @param stopBits as the serial library counts them
 * @param flowControl as the serial library counts it
 * @param dtr whether "data terminal ready" is raised on opening; many boards restart when it is
 * @param rts whether "request to send" is raised on opening
 */
record SerialSettings(
    int baud, int dataBits, int parity, int stopBits, int flowControl, boolean dtr, boolean rts) {

  private static final Map<String, Integer> PARITIES =
      Map.of(
          "none", SerialPort.NO_PARITY,
          "odd", SerialPort.ODD_PARITY,
          "even", SerialPort.EVEN_PARITY,
          "mark", SerialPort.MARK_PARITY,
          "space", SerialPort.SPACE_PARITY);

  private static final Map<String, Integer> FLOW_CONTROLS =
      Map.of(
          "none",
          SerialPort.FLOW_CONTROL_DISABLED,
          "hardware",
          SerialPort.FLOW_CONTROL_RTS_ENABLED | SerialPort.FLOW_CONTROL_CTS_ENABLED,
          "software",
          SerialPort.FLOW_CONTROL_XONXOFF_IN_ENABLED | SerialPort.FLOW_CONTROL_XONXOFF_OUT_ENABLED);

  static SerialSettings of(Settings settings) {
    return new SerialSettings(
        settings.whole("baud", 9600, 50, 4_000_000),
        settings.whole("data_bits", 8, 5, 8),
        oneOf(settings, "parity", PARITIES),
        stopBits(settings),
        oneOf(settings, "flow_control", FLOW_CONTROLS),
        settings.yes("dtr", true),
        settings.yes("rts", true));
  }

  /** Sets a handle that is not yet open. */
  void set(SerialPort port, int readTimeoutMs) {
    port.setComPortParameters(baud, dataBits, stopBits, parity);
    port.setFlowControl(flowControl);
    port.setComPortTimeouts(SerialPort.TIMEOUT_READ_SEMI_BLOCKING, readTimeoutMs, 0);
    // Before opening, or a board that restarts on "data terminal ready" has restarted already.
    port.setDTRandRTS(dtr, rts);
  }

  private static int stopBits(Settings settings) {
    double wanted = settings.number("stop_bits", 1);
    if (wanted == 1) {
      return SerialPort.ONE_STOP_BIT;
    }
    if (wanted == 1.5) {
      return SerialPort.ONE_POINT_FIVE_STOP_BITS;
    }
    if (wanted == 2) {
      return SerialPort.TWO_STOP_BITS;
    }
    throw new Refusal(settings.where() + ", \"stop_bits\" must be 1, 1.5 or 2, was " + wanted);
  }

  private static int oneOf(Settings settings, String name, Map<String, Integer> known) {
    String wanted = settings.text(name, "none");
    Integer value = known.get(wanted);
    if (value == null) {
      throw new Refusal(
          settings.where()
              + ", \""
              + name
              + "\" must be one of "
              + known.keySet().stream().sorted().collect(Collectors.joining(", "))
              + ", was \""
              + wanted
              + "\"");
    }
    return value;
  }
}
