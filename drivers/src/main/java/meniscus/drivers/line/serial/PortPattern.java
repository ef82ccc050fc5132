package meniscus.drivers.line.serial;

import java.util.Locale;
import java.util.Objects;

/**
 * A port's name as a bench file writes it: a name, or a pattern in which {@code *} stands for any
 * letters and {@code ?} for one, neither of them for a slash. No path of this computer's file
 * system: {@code COM*} is none on Windows, and a bench file may come from another system.
 *
 * <p>Names of Windows ports have no case, and may be written with the {@code \\.\} that Windows
 * puts before them.
 */
record PortPattern(String text) {

  /** Windows puts it before the name of a device; COM10 and above open only so. */
  private static final String DEVICE = "\\\\.\\";

  PortPattern {
    Objects.requireNonNull(text);
    text = shown(text);
  }

  /** The name that people know a port by: {@code COM3} for {@code \\.\COM3}. */
  static String shown(String port) {
    return port.startsWith(DEVICE) ? port.substring(DEVICE.length()) : port;
  }

  boolean isEmpty() {
    return text.isEmpty();
  }

  boolean isPattern() {
    return text.indexOf('*') >= 0 || text.indexOf('?') >= 0;
  }

  /** The folder that a pattern of files looks into; empty when it is none of files. */
  String folder() {
    int slash = text.lastIndexOf('/');
    return slash < 0 ? "" : text.substring(0, Math.max(1, slash));
  }

  boolean matches(String port) {
    String name = shown(port);
    return isOfWindows(text)
        ? matches(text.toUpperCase(Locale.ROOT), name.toUpperCase(Locale.ROOT))
        : matches(text, name);
  }

  private static boolean isOfWindows(String name) {
    return name.regionMatches(true, 0, "COM", 0, 3);
  }

  /** Both walk on together; at a mismatch the last star takes one letter more. */
  private static boolean matches(String pattern, String name) {
    int p = 0;
    int star = -1;
    int taken = 0;
    for (int n = 0; n < name.length(); ) {
      char letter = name.charAt(n);
      if (p < pattern.length() && pattern.charAt(p) == '*') {
        star = p++;
        taken = n;
      } else if (p < pattern.length()
          && (pattern.charAt(p) == letter || pattern.charAt(p) == '?' && letter != '/')) {
        p++;
        n++;
      } else if (star >= 0 && name.charAt(taken) != '/') {
        p = star + 1;
        n = ++taken;
      } else {
        return false;
      }
    }
    while (p < pattern.length() && pattern.charAt(p) == '*') {
      p++;
    }
    return p == pattern.length();
  }
}
