package meniscus.recorder.outlet;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermission;
import java.util.EnumSet;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.self.UserFolders;

/**
 * Secrets by name: out of the environment, or out of a file that nobody else may read, with lines
 * {@code name = secret}. They stand in no bench file, for copies of that travel with every test.
 */
final class Secrets {

  static final String FILE = "secrets";
  private static final String VARIABLE = "MENISCUS_SECRET_";
  private static final Set<PosixFilePermission> OWNERS =
      EnumSet.of(
          PosixFilePermission.OWNER_READ,
          PosixFilePermission.OWNER_WRITE,
          PosixFilePermission.OWNER_EXECUTE);

  private final Path file;
  private final Map<String, String> environment;

  Secrets(Path file, Map<String, String> environment) {
    this.file = file;
    this.environment = Map.copyOf(environment);
  }

  /** Those of whoever runs the program. */
  static Secrets here() {
    return new Secrets(UserFolders.here().config().resolve(FILE), System.getenv());
  }

  /**
   * @throws Refusal when it is not known, or others can read the file
   */
  String of(String name) {
    String variable = VARIABLE + name.toUpperCase(Locale.ROOT).replaceAll("[^A-Z0-9]", "_");
    return Optional.ofNullable(environment.get(variable))
        .or(() -> inFile(name))
        .orElseThrow(
            () ->
                new Refusal(
                    "the secret \""
                        + name
                        + "\" is not known: put a line \""
                        + name
                        + " = …\" into "
                        + file
                        + ", which only you may read, or set "
                        + variable));
  }

  private Optional<String> inFile(String name) {
    if (!Files.exists(file)) {
      return Optional.empty();
    }
    try {
      refuseWhereOthersRead();
      return Files.readAllLines(file, StandardCharsets.UTF_8).stream()
          .map(line -> line.split("=", 2))
          .filter(parts -> parts.length == 2 && parts[0].strip().equals(name))
          .map(parts -> parts[1].strip())
          .findFirst();
    } catch (IOException e) {
      throw new Refusal(file + " cannot be read: " + e.getMessage(), e);
    }
  }

  /** Where files have no such rights, as on Windows, a user's own folder is closed to others. */
  private void refuseWhereOthersRead() throws IOException {
    if (FileSystems.getDefault().supportedFileAttributeViews().contains("posix")
        && !OWNERS.containsAll(Files.getPosixFilePermissions(file))) {
      throw new Refusal(
          file
              + " holds secrets and others may read it: take that from them with chmod 600, and"
              + " change what they may have read");
    }
  }
}
