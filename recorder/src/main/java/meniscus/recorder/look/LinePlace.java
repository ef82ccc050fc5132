package meniscus.recorder.look;

import java.util.LinkedHashMap;
import java.util.Map;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/**
 * Where an instrument is, as written on a command line: a serial port by its name, {@code
 * tcp:HOST:PORT}, {@code rfc2217:HOST:PORT} or {@code play:FILE}.
 *
 * @param text as written
 * @param line members of a line's settings: kind, and where it is
 */
public record LinePlace(String text, Map<String, Object> line) {

  public LinePlace {
    line = Map.copyOf(line);
  }

  /**
   * @throws Refusal when a host or port is missing
   */
  public static LinePlace of(String text) {
    for (String kind : new String[] {"tcp", "rfc2217"}) {
      if (text.startsWith(kind + ":")) {
        return new LinePlace(text, network(kind, text));
      }
    }
    return text.startsWith("play:")
        ? new LinePlace(text, Map.of("kind", "playback", "file", text.substring(5)))
        : new LinePlace(text, Map.of("kind", "serial", "port", text));
  }

  private static Map<String, Object> network(String kind, String text) {
    int colon = text.lastIndexOf(':');
    String host = text.substring(kind.length() + 1, Math.max(kind.length() + 1, colon));
    String port = text.substring(colon + 1);
    if (host.isEmpty() || !port.matches("\\d{1,5}")) {
      throw new Refusal(
          "\"" + text + "\" must be " + kind + ":HOST:PORT, as " + kind + ":10.0.0.20:4001");
    }
    return Map.of("kind", kind, "host", host, "port", Integer.valueOf(port));
  }

  /** Its kind of line. */
  public String kind() {
    return String.valueOf(line.get("kind"));
  }

  /** Settings to open it with: where it is, and the rest as a sheet says, where that can be set. */
  public Settings with(Settings sheetLine) {
    Settings own = new Settings(text, new LinkedHashMap<>(line));
    boolean sameKind = sheetLine.text("kind", kind()).equals(kind());
    boolean serialFarAway = kind().equals("rfc2217") && sheetLine.text("kind", "").equals("serial");
    if (serialFarAway) {
      return own.orElse(sheetLine.without(java.util.Set.of("usb", "usb_serial")));
    }
    return sameKind ? own.orElse(sheetLine) : own;
  }
}
