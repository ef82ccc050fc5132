package meniscus.recorder.collection;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.recorder.collection.Manifest.Part;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.disk.Renaming;
import meniscus.recorder.export.ParquetLibrary;
import meniscus.recorder.file.FileNotAccepted;

/**
 * The folder of a collection. New files are written out of sight, put into their places with the
 * rows of {@code tests} last, and are of the collection when the manifest names them: a run that is
 * killed at any moment has added nothing, and the next one clears away what it left.
 */
final class CollectionFolder implements AutoCloseable {

  /** What the library may use besides Java's own memory; what is more goes to the disk. */
  private static final String MEMORY = "512MB";

  /** Out of sight of all that look for {@code *} and {@code *.parquet}. */
  private static final String COMING = ".coming";

  private final FolderLock lock;
  private final Path folder;
  private final ParquetLibrary library;
  private Manifest manifest;

  private CollectionFolder(FolderLock lock, ParquetLibrary library, Manifest manifest) {
    this.lock = lock;
    this.folder = lock.folder();
    this.library = library;
    this.manifest = manifest;
  }

  /**
   * Opens a collection to add to it, or begins one in a folder that is empty or not there.
   *
   * @param jar the downloaded library
   * @param samples whether it holds the readings, too; that is decided when it begins
   * @throws FileNotAccepted when the folder holds something else, or a newer collection
   */
  static CollectionFolder open(Path folder, Path jar, Optional<Boolean> samples)
      throws IOException {
    Files.createDirectories(folder);
    FolderLock lock = FolderLock.take(folder.toAbsolutePath().normalize());
    ParquetLibrary library = null;
    try {
      Manifest manifest = manifest(folder, samples);
      library = ParquetLibrary.open(jar);
      CollectionFolder open = new CollectionFolder(lock, library, manifest);
      open.clear();
      Path spilled = Files.createDirectories(open.coming().resolve("spilled"));
      library.run("SET temp_directory = " + ParquetLibrary.quoted(spilled.toString()));
      library.run("SET memory_limit = " + ParquetLibrary.quoted(MEMORY));
      return open;
    } catch (IOException | RuntimeException e) {
      if (library != null) {
        library.close();
      }
      lock.close();
      throw e;
    }
  }

  private static Manifest manifest(Path folder, Optional<Boolean> samples) throws IOException {
    if (!Files.exists(folder.resolve(Manifest.FILE), LinkOption.NOFOLLOW_LINKS)) {
      try (Stream<Path> there = Files.list(folder)) {
        Optional<Path> other = there.filter(one -> !ofUnfinishedFirstRun(one)).findFirst();
        if (other.isPresent()) {
          throw new FileNotAccepted(
              folder
                  + " holds "
                  + other.get().getFileName()
                  + " and is no collection: name an empty folder, or one that is not there");
        }
      }
      return Manifest.empty(samples.orElse(false));
    }
    Manifest manifest = Manifest.read(folder);
    if (samples.isPresent() && samples.get() != manifest.samples()) {
      throw new FileNotAccepted(
          folder
              + (manifest.samples()
                  ? " holds the samples of its tests: go on with --samples"
                  : " was begun without samples: go on without them, or begin another collection"));
    }
    return manifest;
  }

  private static boolean ofUnfinishedFirstRun(Path one) {
    String name = one.getFileName().toString();
    return name.equals(FolderLock.NAME)
        || name.equals(COMING)
        || name.startsWith("." + Manifest.FILE + ".")
        || CollectedTable.of(true).stream().anyMatch(table -> table.word().equals(name));
  }

  private Path coming() {
    return folder.resolve(COMING);
  }

  /** Takes away what a killed run has left: whatever the manifest does not name. */
  private void clear() throws IOException {
    Renaming.deleteTree(coming());
    Set<Path> named =
        manifest.files().stream()
            .map(part -> folder.resolve(part.path()))
            .collect(Collectors.toSet());
    for (CollectedTable table : CollectedTable.values()) {
      Path place = folder.resolve(table.word());
      if (Files.isDirectory(place, LinkOption.NOFOLLOW_LINKS)) {
        try (Stream<Path> files = Files.walk(place)) {
          for (Path file : (Iterable<Path>) files::iterator) {
            if (Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)
                && file.toString().endsWith(".parquet")
                && !named.contains(file)) {
              Renaming.delete(file);
            }
          }
        }
      }
    }
    for (Path file : named) {
      if (!Files.isRegularFile(file)) {
        throw new FileNotAccepted(
            file + " is missing from the collection: take it from a copy of the collection");
      }
    }
  }

  /** How many tests there are. */
  long count() throws IOException {
    return manifest.of(CollectedTable.TESTS).isEmpty()
        ? 0
        : Long.parseLong(
            library
                .ask("SELECT count(*) FROM " + read(manifest.of(CollectedTable.TESTS)))
                .get(0)
                .get(0));
  }

  ParquetLibrary library() {
    return library;
  }

  Manifest manifest() {
    return manifest;
  }

  /** An empty folder out of sight. */
  Path comingOf(String name) throws IOException {
    return Files.createDirectories(coming().resolve(name));
  }

  /** The files of a table, as SQL selects from them. */
  String read(List<Part> parts) {
    return parts.stream()
        .map(part -> ParquetLibrary.quoted(folder.resolve(part.path()).toString()))
        .collect(Collectors.joining(", ", "read_parquet([", "], hive_partitioning = false)"));
  }

  /**
   * Writes one file.
   *
   * @param what to write, as SQL selects it
   */
  void copy(String what, Path to) throws IOException {
    library.run(
        "COPY "
            + what
            + " TO "
            + ParquetLibrary.quoted(to.toString())
            + " (FORMAT parquet, COMPRESSION zstd, USE_TMP_FILE false)");
  }

  /**
   * Makes what was written part of the collection.
   *
   * @param written folders out of sight, each laid out as the collection is
   */
  void add(List<Path> written) throws IOException {
    List<Part> parts = place(written);
    if (!parts.isEmpty()) {
      commit(manifest.with(parts));
    }
  }

  /** Puts files into their places, on the disk for good; those of {@code tests} come last. */
  List<Part> place(List<Path> written) throws IOException {
    List<Part> parts = new ArrayList<>();
    Set<Path> folders = new HashSet<>();
    List<CollectedTable> order = new ArrayList<>(CollectedTable.of(true));
    order.remove(CollectedTable.TESTS);
    order.add(CollectedTable.TESTS);
    for (CollectedTable table : order) {
      for (Path from : written) {
        for (Path file : files(from.resolve(table.word()))) {
          String year = file.getParent().getFileName().toString();
          Path place = Files.createDirectories(folder.resolve(table.word()).resolve(year));
          force(file);
          Path to = place.resolve(file.getFileName());
          Renaming.replace(file, to);
          folders.add(place);
          parts.add(
              new Part(
                  table.word(),
                  Integer.parseInt(year.substring("year=".length())),
                  table.word() + "/" + year + "/" + file.getFileName(),
                  Files.size(to)));
        }
      }
    }
    for (Path place : folders) {
      Disk.REAL.forceFolder(place);
      Disk.REAL.forceFolder(place.getParent());
    }
    return parts;
  }

  /** Takes a file away that the manifest names no more. */
  void delete(Part part) throws IOException {
    Renaming.delete(folder.resolve(part.path()));
  }

  private static List<Path> files(Path table) throws IOException {
    if (!Files.isDirectory(table)) {
      return List.of();
    }
    try (Stream<Path> files = Files.walk(table)) {
      return files.filter(Files::isRegularFile).sorted().toList();
    }
  }

  private static void force(Path file) throws IOException {
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.force(true);
    }
  }

  /** From now on it is this. */
  void commit(Manifest next) throws IOException {
    if (next.equals(manifest)) {
      return;
    }
    next.write(folder);
    manifest = next;
  }

  @Override
  public void close() throws IOException {
    try (lock) {
      library.close();
      Renaming.deleteTree(coming());
    }
  }
}
