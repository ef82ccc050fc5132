package meniscus.drivers.line.serial;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributes;
import java.nio.file.attribute.PosixFilePermission;
import java.util.List;
import java.util.Locale;
import java.util.Set;

/**
 * Why a port did not open, in plain words, out of the system's error number.
 *
 * <p>Numbers of Linux and macOS from {@code errno.h}, those of Windows from its list of system
 * error codes (from memory; not tested on Windows). The serial library itself answers 2 for a port
 * that this very program holds.
 */
final class OpeningTrouble {

  private static final Set<PosixFilePermission> GROUP_USES_IT =
      Set.of(PosixFilePermission.GROUP_READ, PosixFilePermission.GROUP_WRITE);

  private static final Set<String> ADMINISTRATORS = Set.of("root", "wheel");

  private static final int NOT_PERMITTED = 1;
  private static final int HELD_BY_THIS_PROGRAM = 2;
  private static final int INPUT_OUTPUT = 5;
  private static final int NO_SUCH_DEVICE_OR_ADDRESS = 6;
  private static final int TRY_AGAIN_LINUX = 11;
  private static final int ACCESS_DENIED = 13;
  private static final int BUSY = 16;
  private static final int NO_SUCH_DEVICE = 19;
  private static final int IS_A_FOLDER = 21;
  private static final int NOT_A_TERMINAL = 25;
  private static final int TRY_AGAIN_MACOS = 35;

  private OpeningTrouble() {}

  static String explain(String path, int code, List<SeenPort> present) {
    return explain(System.getProperty("os.name", ""), path, code, present);
  }

  /**
   * @param system as Java names it
   */
  static String explain(String system, String path, int code, List<SeenPort> present) {
    return system.toLowerCase(Locale.ROOT).startsWith("windows")
        ? onWindows(path, code, present)
        : onUnix(path, code, present);
  }

  static String noSuchPort(String path, List<SeenPort> present) {
    return "no serial port " + path + "; " + PortChoice.list(present);
  }

  private static String onUnix(String path, int code, List<SeenPort> present) {
    return switch (code) {
      case HELD_BY_THIS_PROGRAM, TRY_AGAIN_LINUX, TRY_AGAIN_MACOS, BUSY ->
          path
              + " is held by another program (a terminal, a second Meniscus, or another instrument"
              + " of this bench): close it there";
      case ACCESS_DENIED, NOT_PERMITTED -> path + " may not be opened by this user" + group(path);
      case IS_A_FOLDER, NOT_A_TERMINAL ->
          path + " is not a serial port; " + PortChoice.list(present);
      case INPUT_OUTPUT, NO_SUCH_DEVICE_OR_ADDRESS, NO_SUCH_DEVICE ->
          path + " does not answer: was it just unplugged?";
      default -> path + " could not be opened (system error " + code + ")";
    };
  }

  private static String onWindows(String path, int code, List<SeenPort> present) {
    return switch (code) {
      case 2, 3 -> noSuchPort(path, present);
      case 5, 32 -> path + " is held by another program: close it there";
      default -> path + " could not be opened (system error " + code + ")";
    };
  }

  /** What to do about it; nothing where files have no groups. */
  private static String group(String path) {
    PosixFileAttributes port;
    try {
      port = Files.readAttributes(Path.of(path), PosixFileAttributes.class);
    } catch (IOException | UnsupportedOperationException | IllegalArgumentException unknown) {
      return "";
    }
    String group = port.group().getName();
    // Nobody should join the administrators' own group to read a gauge.
    return port.permissions().containsAll(GROUP_USES_IT) && !ADMINISTRATORS.contains(group)
        ? ": it belongs to the group \""
            + group
            + "\". Let an administrator run \"usermod -aG "
            + group
            + " YOUR-NAME\", then log out and in again"
        : ": no group of users may read and write it. Let an administrator give it one (on Debian"
            + " \"dialout\") by a rule for this device, and plug it in again";
  }
}
