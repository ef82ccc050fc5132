package meniscus.recorder.archive;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.InsideName;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.folder.TypedFolder;
import meniscus.recorder.zip.ZipDisk;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * All tests under one folder, at most {@value #DEEPEST} folders deep. A test is looked into once;
 * afterwards only whether its folder has changed is asked, and the index file answers the rest.
 */
public final class TestArchive {

  /** The index, in the archive's folder; may be thrown away at any time. */
  public static final String INDEX = ".meniscus-index.jsonl";

  private static final int DEEPEST = 4;
  private static final long YOUNG_NS = 3_000_000_000L;
  private static final Logger LOG = LoggerFactory.getLogger(TestArchive.class);

  private final Path root;
  private final Disk disk;
  private final Alike alike = new Alike();
  private IndexContent remembered;

  private TestArchive(Path root) {
    this.root = root;
    this.disk = ZipDisk.of(root);
    this.remembered = IndexFile.read(root.resolve(INDEX), alike);
  }

  /** What the index remembers, if there is one that can be read. */
  public static TestArchive of(Path root) {
    return new TestArchive(root);
  }

  /** Readings of plates as they stand now, newest first. */
  public synchronized List<PlateEntry> plates() {
    List<PlateEntry> plates = new ArrayList<>(now().plates().values());
    plates.sort(
        Comparator.comparing((PlateEntry plate) -> plate.known().at())
            .reversed()
            .thenComparing(PlateEntry::name));
    return plates;
  }

  private IndexContent now() {
    IndexContent now = IndexContent.empty();
    look(root, "", 1, now);
    if (!now.equals(remembered)) {
      remembered = now;
      remember();
    }
    return now;
  }

  /** Every test as it stands now, newest first. */
  public synchronized List<IndexEntry> tests() {
    List<IndexEntry> tests = new ArrayList<>(now().tests().values());
    tests.sort(Comparator.comparing(IndexEntry::at).reversed().thenComparing(IndexEntry::name));
    return tests;
  }

  /**
   * A test and where it lies.
   *
   * @param folder of the test
   * @param entry what is known of it
   */
  public record Found(Path folder, IndexEntry entry) {}

  /**
   * The tests at the places named, newest first within each place.
   *
   * @param places test folders, or folders that hold test folders
   * @throws FileNotAccepted when a place holds no test at all
   */
  public static List<Found> find(List<Path> places, Search search) {
    List<Found> found = new ArrayList<>();
    for (Path place : places) {
      if (TypedFolder.is(place)) {
        TypedFolder typed = TypedFolder.open(place);
        found.add(new Found(typed.folder(), IndexEntry.typed(typed.name(), typed)));
      } else if (TestFolder.state(place) == TestFolder.State.NONE) {
        TestArchive archive = of(place);
        List<IndexEntry> tests = archive.tests();
        if (tests.isEmpty()) {
          if (!archive.plates().isEmpty()) {
            throw ofPlates(place);
          }
          throw new FileNotAccepted(
              place
                  + (Files.exists(place) ? " holds no test folder" : " is not there")
                  + ": name a test folder, or a folder of test folders");
        }
        tests.forEach(entry -> found.add(new Found(place.resolve(entry.name()), entry)));
      } else {
        Path home = TestFolder.home(place);
        Path name = home.toAbsolutePath().normalize().getFileName();
        found.add(
            new Found(
                home,
                TestFolder.state(place) == TestFolder.State.FINISHED
                    ? named(home)
                    : IndexEntry.unfinished(name.toString())));
      }
    }
    return found.stream().filter(one -> search.fits(one.entry())).toList();
  }

  /** How many readings of plates lie among the tests of these places. */
  public static int plates(List<Path> places) {
    return places.stream()
        .filter(place -> TestFolder.state(place) == TestFolder.State.NONE)
        .mapToInt(place -> of(place).plates().size())
        .sum();
  }

  /** An index that cannot be written is made again next time; a pack has none. */
  private void remember() {
    if (disk != Disk.REAL) {
      return;
    }
    try {
      IndexFile.write(root.resolve(INDEX), remembered);
    } catch (IOException e) {
      LOG.debug("the index of {} is not written: {}", root, e.toString());
    }
  }

  private void look(Path folder, String under, int depth, IndexContent found) {
    for (String own : names(folder)) {
      Path one = folder.resolve(own);
      String name = under + own;
      Optional<String> stamp = stamp(one);
      if (stamp.isEmpty()) {
        continue;
      }
      if (!stamp.get().isEmpty() && found.takes(remembered, name, stamp.get())) {
        continue;
      }
      switch (TestFolder.state(one)) {
        case FINISHED -> finished(name, stamp.get(), one, alike, found);
        case UNFINISHED -> found.add(IndexEntry.unfinished(name));
        case NONE -> {
          if (TypedFolder.is(one)) {
            found.add(typed(name, one));
          } else if (depth < DEEPEST) {
            look(one, name + "/", depth + 1, found);
          }
        }
      }
    }
  }

  private List<String> names(Path folder) {
    try {
      return disk.names(folder).stream().filter(InsideName::ok).toList();
    } catch (IOException notThere) {
      return List.of();
    }
  }

  private static void finished(
      String name, String stamp, Path folder, Alike alike, IndexContent found) {
    try {
      TestFolder test = TestFolder.glance(folder);
      if (test.isOfPlate()) {
        found.add(new PlateEntry(name, stamp, PlateSummary.of(test)));
      } else {
        found.add(IndexEntry.finished(name, stamp, TestSummary.of(test).sharing(alike)));
      }
    } catch (IOException | FileNotAccepted e) {
      found.add(IndexEntry.damaged(name, String.valueOf(e.getMessage())));
    }
  }

  /** A test that was named itself. */
  private static IndexEntry named(Path folder) {
    String name = folder.toAbsolutePath().normalize().getFileName().toString();
    IndexContent found = IndexContent.empty();
    finished(name, "", folder, new Alike(), found);
    if (found.tests().isEmpty()) {
      throw ofPlates(folder);
    }
    return found.tests().get(name);
  }

  private static FileNotAccepted ofPlates(Path place) {
    return new FileNotAccepted(
        place
            + " holds readings of a plate, no test of a port: recompute and compare --benches take"
            + " such, and export --plates lists them");
  }

  private static IndexEntry typed(String name, Path folder) {
    try {
      return IndexEntry.typed(name, TypedFolder.open(folder));
    } catch (FileNotAccepted e) {
      return IndexEntry.damaged(name, String.valueOf(e.getMessage()));
    }
  }

  /**
   * When the folder was changed (everything the program does to a test renames a file into it), and
   * its notes, which people may change. Empty when it is no folder; an empty text when that was so
   * lately that a change within the grain of the file system's clock would not be seen, or it is
   * packed.
   */
  private Optional<String> stamp(Path folder) {
    if (disk != Disk.REAL) {
      return Optional.of("");
    }
    try {
      BasicFileAttributes is = attributes(folder);
      if (!is.isDirectory()) {
        return Optional.empty();
      }
      long folderTime = time(is);
      long notesTime = notesTime(folder);
      long now = TimeUnit.MILLISECONDS.toNanos(System.currentTimeMillis());
      boolean young = Math.max(folderTime, notesTime) > now - YOUNG_NS;
      return Optional.of(young ? "" : folderTime + "/" + notesTime);
    } catch (IOException gone) {
      return Optional.empty();
    }
  }

  private static long notesTime(Path folder) throws IOException {
    try {
      return time(attributes(folder.resolve(TestFolder.NOTES)));
    } catch (NoSuchFileException none) {
      return 0;
    }
  }

  private static long time(BasicFileAttributes is) {
    return is.lastModifiedTime().to(TimeUnit.NANOSECONDS);
  }

  private static BasicFileAttributes attributes(Path path) throws IOException {
    return Files.readAttributes(path, BasicFileAttributes.class, LinkOption.NOFOLLOW_LINKS);
  }
}
