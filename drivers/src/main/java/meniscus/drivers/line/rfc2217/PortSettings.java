package meniscus.drivers.line.rfc2217;

import java.nio.ByteBuffer;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/**
 * How the far port is to be set, in the numbers of RFC 2217.
 *
 * @param baud symbols a second
 * @param dataBits 5 to 8
 * @param parity 1 none, 2 odd, 3 even, 4 mark, 5 space
 * @param stopBits 1 one, 2 two, 3 one and a half
 * @param flowControl 1 none, 2 XON/XOFF, 3 hardware
 * @param dtr whether "data terminal ready" is raised
 * @param rts whether "request to send" is raised
 */
record PortSettings(
    int baud, int dataBits, int parity, int stopBits, int flowControl, boolean dtr, boolean rts) {

  static final int SET_BAUD = 1;
  static final int SET_DATA_BITS = 2;
  static final int SET_PARITY = 3;
  static final int SET_STOP_BITS = 4;
  static final int SET_CONTROL = 5;

  private static final int DTR_ON = 8;
  private static final int DTR_OFF = 9;
  private static final int RTS_ON = 11;
  private static final int RTS_OFF = 12;

  private static final Map<String, Integer> PARITIES =
      Map.of("none", 1, "odd", 2, "even", 3, "mark", 4, "space", 5);
  private static final Map<String, Integer> FLOW_CONTROLS =
      Map.of("none", 1, "software", 2, "hardware", 3);
  private static final Map<Double, Integer> STOP_BITS = Map.of(1.0, 1, 2.0, 2, 1.5, 3);

  /** A request to the far port; its answer has the same form. */
  record Message(int code, byte[] value) {

    /** As an unsigned number, most significant byte first. */
    long number() {
      long number = 0;
      for (byte b : value) {
        number = number << 8 | b & 0xff;
      }
      return number;
    }

    byte[] content() {
      return ByteBuffer.allocate(value.length + 1).put((byte) code).put(value).array();
    }
  }

  static PortSettings of(Settings settings) {
    double stopBits = settings.number("stop_bits", 1);
    if (!STOP_BITS.containsKey(stopBits)) {
      throw new Refusal(settings.where() + ", \"stop_bits\" must be 1, 1.5 or 2, was " + stopBits);
    }
    return new PortSettings(
        settings.whole("baud", 9600, 50, 4_000_000),
        settings.whole("data_bits", 8, 5, 8),
        oneOf(settings, "parity", PARITIES),
        STOP_BITS.get(stopBits),
        oneOf(settings, "flow_control", FLOW_CONTROLS),
        settings.yes("dtr", true),
        settings.yes("rts", true));
  }

  private static int oneOf(Settings settings, String name, Map<String, Integer> known) {
    String wanted = settings.text(name, "none");
    if (!known.containsKey(wanted)) {
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
    return known.get(wanted);
  }

  /** What must be as asked, or readings would be wrong or none. */
  List<Message> requests() {
    return List.of(
        new Message(SET_BAUD, ByteBuffer.allocate(4).putInt(baud).array()),
        new Message(SET_DATA_BITS, one(dataBits)),
        new Message(SET_PARITY, one(parity)),
        new Message(SET_STOP_BITS, one(stopBits)));
  }

  /** What many servers cannot set and no reading hangs on; not waited for. */
  List<Message> wishes() {
    return List.of(
        new Message(SET_CONTROL, one(flowControl)),
        new Message(SET_CONTROL, one(dtr ? DTR_ON : DTR_OFF)),
        new Message(SET_CONTROL, one(rts ? RTS_ON : RTS_OFF)));
  }

  private static byte[] one(int value) {
    return new byte[] {(byte) value};
  }

  static String name(int code) {
    return switch (code) {
      case SET_BAUD -> "baud";
      case SET_DATA_BITS -> "data_bits";
      case SET_PARITY -> "parity";
      case SET_STOP_BITS -> "stop_bits";
      default -> "control " + code;
    };
  }
}
