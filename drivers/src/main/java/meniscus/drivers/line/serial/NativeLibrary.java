package meniscus.drivers.line.serial;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFilePermission;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.EnumSet;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;

/**
 * Where the serial library puts its native part. Left alone it unpacks into the common temporary
 * folder, open to all, runs whatever is there already, and clears out what it does not know; on a
 * shared computer that is another user's chance. So it is loaded with a temporary folder that
 * belongs to this user alone.
 */
final class NativeLibrary {

  private static final String TEMPORARY_FOLDER = "java.io.tmpdir";
  private static final Set<PosixFilePermission> OWNER_ONLY =
      PosixFilePermissions.fromString("rwx------");

  private NativeLibrary() {}

  /** Loads the library's first class, and the native part with it. */
  static void load(String firstClass) throws IOException, ClassNotFoundException {
    Path folder = ownFolder();
    String before = System.getProperty(TEMPORARY_FOLDER);
    // Two programs that start at the same time must not unpack over each other.
    try (FileChannel file =
        FileChannel.open(
            folder.resolve("lock"), StandardOpenOption.CREATE, StandardOpenOption.WRITE)) {
      file.lock();
      System.setProperty(TEMPORARY_FOLDER, folder.toString());
      Class.forName(firstClass);
    } finally {
      System.setProperty(TEMPORARY_FOLDER, before);
    }
  }

  private static Path ownFolder() throws IOException {
    Path folder = cacheFolder().resolve("meniscus").resolve("native");
    try {
      Files.createDirectories(folder);
      return secured(folder).isPresent() ? folder : freshFolder();
    } catch (IOException notWritable) {
      return freshFolder();
    }
  }

  /** The folder, if it is this user's own and nobody else can write into it. */
  static Optional<Path> secured(Path folder) throws IOException {
    if (Files.isSymbolicLink(folder)) {
      return Optional.empty();
    }
    if (!Files.getFileStore(folder).supportsFileAttributeView("posix")) {
      return Optional.of(folder);
    }
    Path probe = Files.createTempFile(folder, "owner", "");
    boolean own = Files.getOwner(probe).equals(Files.getOwner(folder));
    Files.delete(probe);
    if (!own) {
      return Optional.empty();
    }
    boolean wasOpen =
        Files.getPosixFilePermissions(folder).stream()
            .anyMatch(
                EnumSet.of(PosixFilePermission.GROUP_WRITE, PosixFilePermission.OTHERS_WRITE)
                    ::contains);
    if (wasOpen) {
      return Optional.empty();
    }
    Files.setPosixFilePermissions(folder, OWNER_ONLY);
    return Optional.of(folder);
  }

  /** New at each start, and closed to others from its making. */
  private static Path freshFolder() throws IOException {
    return Files.createTempDirectory("meniscus-native");
  }

  private static Path cacheFolder() {
    String system = System.getProperty("os.name", "").toLowerCase(Locale.ROOT);
    Path home = Path.of(System.getProperty("user.home", "."));
    if (system.contains("win")) {
      return variable("LOCALAPPDATA").orElse(home.resolve("AppData").resolve("Local"));
    }
    if (system.contains("mac")) {
      return home.resolve("Library").resolve("Caches");
    }
    return variable("XDG_CACHE_HOME").orElse(home.resolve(".cache"));
  }

  private static Optional<Path> variable(String name) {
    return Optional.ofNullable(System.getenv(name)).filter(value -> !value.isBlank()).map(Path::of);
  }
}
