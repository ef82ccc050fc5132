package meniscus.recorder.folder;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.Stream;
import meniscus.core.compare.ExternalCurve;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.file.CurveFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.TypedCurve;
import meniscus.recorder.file.WholeFile;

/**
 * A folder that holds a curve from elsewhere and the file that it was typed from. It lies among
 * test folders and is none: nothing in it was measured here.
 *
 * @param folder of it
 * @param typed what it holds
 */
public record TypedFolder(Path folder, TypedCurve typed) {

  /** As it came, whatever it was called. */
  private static final String ORIGINAL = "original.csv";

  /** Whether a place holds one, packed or not. */
  public static boolean is(Path place) {
    Place at = Place.of(place);
    return at.disk().exists(at.folder().resolve(Place.CURVE))
        && !at.disk().exists(at.folder().resolve(PackageFile.FILE));
  }

  /**
   * @throws FileNotAccepted saying what is wrong with its curve
   */
  public static TypedFolder open(Path place) {
    Place at = Place.of(place);
    Path file = at.folder().resolve(Place.CURVE);
    try {
      byte[] json = FileCheck.bytes(at.disk(), at.folder(), Place.CURVE);
      return new TypedFolder(
          at.folder(), CurveFile.parse(file.toString(), new String(json, StandardCharsets.UTF_8)));
    } catch (IOException e) {
      throw new FileNotAccepted(file + " cannot be read: " + e.getMessage(), e);
    }
  }

  /** A curve out of such a folder, or out of a file that someone wrote. */
  public static ExternalCurve curve(Path place) {
    return is(place) ? open(place).typed().curve() : CurveFile.read(place);
  }

  /**
   * Makes such a folder; its curve is put there last.
   *
   * @param original the file as it came
   * @throws FileNotAccepted when something is there
   */
  public static TypedFolder write(Path folder, TypedCurve typed, byte[] original)
      throws IOException {
    if (Files.exists(folder) && !isEmpty(folder)) {
      throw new FileNotAccepted(
          folder + " is there already and holds something: name a new folder with --into");
    }
    Files.createDirectories(folder);
    WholeFile.write(folder.resolve(ORIGINAL), original);
    WholeFile.write(folder.resolve(Place.CURVE), CurveFile.text(typed));
    return new TypedFolder(folder, typed);
  }

  private static boolean isEmpty(Path folder) throws IOException {
    if (!Files.isDirectory(folder)) {
      return false;
    }
    try (Stream<Path> entries = Files.list(folder)) {
      return entries.findAny().isEmpty();
    }
  }

  /** Name of its folder. */
  public String name() {
    return folder.toAbsolutePath().normalize().getFileName().toString();
  }

  /** Names of its files, sorted: what a copy of the folder needs. */
  public SortedSet<String> everything() {
    Disk disk = Place.of(folder).disk();
    SortedSet<String> names = new TreeSet<>();
    for (String name : new String[] {Place.CURVE, ORIGINAL}) {
      if (disk.exists(folder.resolve(name))) {
        names.add(name);
      }
    }
    return names;
  }

  /** Reads a file by its name in {@link #everything}. */
  public InputStream content(String name) throws IOException {
    return FileCheck.stream(Place.of(folder).disk(), folder, name);
  }
}
