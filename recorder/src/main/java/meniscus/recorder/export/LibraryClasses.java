package meniscus.recorder.export;

import java.io.IOException;
import java.io.InputStream;
import java.net.MalformedURLException;
import java.net.URL;
import java.net.URLClassLoader;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.HexFormat;
import java.util.Optional;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import meniscus.recorder.file.WholeFile;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The classes of the downloaded library, apart from the program's own. What the library holds for
 * the machine itself, 72 MB, it would unpack into a temporary file at each start and load from
 * there; that took longer than all else that one more test needs. So it is unpacked once, beside
 * the jar, and the library told that it has it: its driver asks for the file in the jar, and where
 * there is none loads the system library {@value #NAME}.
 */
final class LibraryClasses extends URLClassLoader {

  private static final String NAME = "duckdb_java";

  /** Followed by system and processor. */
  private static final String IN_JAR = "lib" + NAME + ".so_";

  private static final Logger LOG = LoggerFactory.getLogger(LibraryClasses.class);

  private final Path jar;
  private Optional<Path> unpacked = Optional.empty();

  LibraryClasses(Path jar) throws MalformedURLException {
    super(new URL[] {jar.toUri().toURL()}, ClassLoader.getPlatformClassLoader());
    this.jar = jar.toAbsolutePath();
  }

  @Override
  public URL getResource(String name) {
    if (name.startsWith(IN_JAR)) {
      try {
        unpacked = unpacked(name);
      } catch (IOException e) {
        LOG.debug("{} is unpacked at each start: {}", jar, e.toString());
      }
      if (unpacked.isPresent()) {
        return null;
      }
    }
    return super.getResource(name);
  }

  @Override
  protected String findLibrary(String name) {
    return name.equals(NAME) ? unpacked.map(Path::toString).orElse(null) : null;
  }

  /**
   * The file beside the jar; empty when what is there is not to be trusted.
   *
   * @throws IOException when it cannot be put there
   */
  private Optional<Path> unpacked(String name) throws IOException {
    try (ZipFile whole = new ZipFile(jar.toFile())) {
      ZipEntry entry = whole.getEntry(name);
      if (entry == null) {
        return Optional.empty();
      }
      // By its checksum: another version of one name, or half a file, is never taken for it.
      Path beside =
          jar.resolveSibling(
              jar.getFileName() + "." + HexFormat.of().toHexDigits((int) entry.getCrc()));
      if (!Files.exists(beside, LinkOption.NOFOLLOW_LINKS)) {
        WholeFile.write(
            beside,
            part -> {
              try (InputStream bytes = whole.getInputStream(entry)) {
                Files.copy(bytes, part, StandardCopyOption.REPLACE_EXISTING);
              }
            });
      }
      // It is run as the jar is: whoever could not have put the jar there has not put this there.
      return Files.isRegularFile(beside, LinkOption.NOFOLLOW_LINKS)
              && Files.size(beside) == entry.getSize()
              && Files.getOwner(beside).equals(Files.getOwner(jar))
          ? Optional.of(beside)
          : Optional.empty();
    }
  }
}
