package meniscus.recorder.zip;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.NotDirectoryException;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.nio.file.attribute.FileTime;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicReference;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.Room;
import meniscus.recorder.file.FileNotAccepted;

/**
 * The inside of a zip as a disk that is only read: {@code job.zip/before/points.csv} is a file in
 * it.
 */
public final class ZipDisk implements Disk {

  /** What a zip's name ends in; any other file is not looked into. */
  public static final String ENDING = ".zip";

  /** The last one: whoever reads a hundred tests out of one zip asks for its list each time. */
  private static final AtomicReference<Known> LAST = new AtomicReference<>();

  private record Known(Path zip, long size, FileTime changed, ZipListing listing) {}

  private final Path zip;
  private final ZipListing listing;

  private ZipDisk(Path zip, ZipListing listing) {
    this.zip = zip;
    this.listing = listing;
  }

  /**
   * The disk that a path lies on: the machine's, or a zip that is a step of it.
   *
   * @throws FileNotAccepted when that zip is damaged, or not one that is read here
   */
  public static Disk of(Path path) {
    return zip(path).<Disk>map(ZipDisk::open).orElse(REAL);
  }

  /** The zip that a path leads to or into. */
  private static Optional<Path> zip(Path path) {
    for (Path step = path; step != null; step = step.getParent()) {
      if (isZip(step)) {
        return Optional.of(step);
      }
      if (Files.isDirectory(step)) {
        return Optional.empty();
      }
    }
    return Optional.empty();
  }

  private static boolean isZip(Path path) {
    return path.toString().toLowerCase(Locale.ROOT).endsWith(ENDING) && Files.isRegularFile(path);
  }

  private static ZipDisk open(Path zip) {
    try {
      return new ZipDisk(zip, listing(zip.toAbsolutePath().normalize()));
    } catch (IOException e) {
      throw new FileNotAccepted(zip + " cannot be read: " + e.getMessage(), e);
    }
  }

  private static ZipListing listing(Path zip) throws IOException {
    BasicFileAttributes is = Files.readAttributes(zip, BasicFileAttributes.class);
    Known known = LAST.get();
    if (known == null
        || !known.zip().equals(zip)
        || known.size() != is.size()
        || !known.changed().equals(is.lastModifiedTime())) {
      known = new Known(zip, is.size(), is.lastModifiedTime(), ZipListing.read(zip));
      LAST.set(known);
    }
    return known.listing();
  }

  /**
   * Whether a file that was just written is one that is read here.
   *
   * @throws FileNotAccepted saying why not
   */
  public static void check(Path zip) throws IOException {
    ZipListing.read(zip);
  }

  /** The folders that hold a file of this name, sorted. */
  public List<Path> holding(String name) {
    return listing.names().stream()
        .filter(each -> each.equals(name) || each.endsWith("/" + name))
        .map(each -> zip.resolve(each).getParent())
        .toList();
  }

  /** The zip's own path. */
  public Path zip() {
    return zip;
  }

  private String inside(Path path) {
    String name = zip.relativize(path).toString();
    return name.replace(path.getFileSystem().getSeparator(), "/");
  }

  @Override
  public OpenFile read(Path file) throws IOException {
    Optional<ZipListing.Entry> entry = listing.file(inside(file));
    if (entry.isEmpty()) {
      throw new NoSuchFileException(file.toString());
    }
    return new ZipContent(zip, entry.get());
  }

  @Override
  public boolean exists(Path path) {
    String name = inside(path);
    return listing.file(name).isPresent() || listing.isFolder(name);
  }

  @Override
  public List<String> names(Path folder) throws IOException {
    String name = inside(folder);
    if (!listing.isFolder(name)) {
      throw new NotDirectoryException(folder.toString());
    }
    String start = name.isEmpty() ? "" : name + "/";
    return listing.names().stream()
        .filter(each -> each.startsWith(start))
        .map(each -> each.substring(start.length()).split("/")[0])
        .distinct()
        .sorted()
        .toList();
  }

  @Override
  public OpenFile write(Path file) throws IOException {
    throw ZipContent.onlyRead(zip);
  }

  @Override
  public void rename(Path from, Path to) throws IOException {
    throw ZipContent.onlyRead(zip);
  }

  @Override
  public void delete(Path file) throws IOException {
    throw ZipContent.onlyRead(zip);
  }

  @Override
  public void createFolders(Path folder) throws IOException {
    throw ZipContent.onlyRead(zip);
  }

  @Override
  public void forceFolder(Path folder) throws IOException {
    throw ZipContent.onlyRead(zip);
  }

  @Override
  public Room room(Path folder) {
    return new Room(0, true);
  }
}
