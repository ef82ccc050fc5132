package meniscus.recorder.disk;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Collection;
import java.util.Locale;
import java.util.Optional;
import java.util.TreeMap;
import java.util.regex.Pattern;
import java.util.stream.Stream;

/**
 * Names that the program gives and that would not survive on another system, refused on every one:
 * records are copied, and a test that was made on Linux is read on Windows years later.
 *
 * <p>Windows takes some names for devices, with any ending ({@code NUL.csv}), takes a dot or blank
 * off the end, and, as macOS, takes names that differ in case only for one and the same.
 */
public final class PortableName {

  /** Microsoft, "Naming Files, Paths, and Namespaces"; the superscript digits count too. */
  private static final Pattern DEVICE =
      Pattern.compile(
          "(CON|PRN|AUX|NUL|CONIN\\$|CONOUT\\$|(COM|LPT)[0-9\u00B9\u00B2\u00B3])[ ]*([.].*)?",
          Pattern.CASE_INSENSITIVE);

  private static final Pattern LOST_END = Pattern.compile(".*[. ]");

  private PortableName() {}

  /** What is wrong with a name alone, one step of a path; empty when nothing is. */
  public static Optional<String> fault(String name) {
    if (DEVICE.matcher(name).matches()) {
      return Optional.of(
          "\"" + name + "\" is the name of a device on Windows: choose another name");
    }
    if (LOST_END.matcher(name).matches() && !name.matches("[.]{1,2}")) {
      return Optional.of(
          "\"" + name + "\" ends in what Windows takes off: choose a name without it");
    }
    return Optional.empty();
  }

  /**
   * What is wrong with the name of a file or folder that is to be made: as above, or that another
   * one there differs from it in case only.
   */
  public static Optional<String> fault(Path made) throws IOException {
    Path file = made.toAbsolutePath().normalize();
    if (file.getFileName() == null) {
      return Optional.empty();
    }
    String name = file.getFileName().toString();
    Optional<String> alone = fault(name);
    if (alone.isPresent() || Files.exists(file) || !Files.isDirectory(file.getParent())) {
      return alone;
    }
    try (Stream<Path> beside = Files.list(file.getParent())) {
      return beside
          .map(other -> other.getFileName().toString())
          .filter(other -> other.equalsIgnoreCase(name) && !other.equals(name))
          .findFirst()
          .map(other -> alike(name, other));
    }
  }

  /** What is wrong with names, paths with {@code /}, that are to lie in one folder. */
  public static Optional<String> fault(Collection<String> names) {
    TreeMap<String, String> seen = new TreeMap<>();
    for (String name : names) {
      for (String step : name.split("/")) {
        Optional<String> alone = fault(step);
        if (alone.isPresent()) {
          return alone;
        }
      }
      String other = seen.put(name.toLowerCase(Locale.ROOT), name);
      if (other != null && !other.equals(name)) {
        return Optional.of(alike(name, other));
      }
    }
    return Optional.empty();
  }

  private static String alike(String name, String other) {
    return "\""
        + name
        + "\" and \""
        + other
        + "\" differ in capital letters only, and are one name on Windows and macOS: choose another";
  }
}
