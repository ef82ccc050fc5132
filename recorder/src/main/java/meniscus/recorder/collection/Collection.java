package meniscus.recorder.collection;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import meniscus.recorder.file.FileNotAccepted;

/** A collection that is open for adding tests. */
public final class Collection implements AutoCloseable {

  private final CollectionFolder folder;

  private Collection(CollectionFolder folder) {
    this.folder = folder;
  }

  /**
   * Opens a collection, or begins one in a folder that is empty or not there.
   *
   * @param jar the downloaded library
   * @param samples whether it is to hold the readings, too: that is decided when it begins; empty
   *     for as it was begun, and without them
   * @throws FileNotAccepted when the folder holds something else, or a newer collection
   */
  public static Collection open(Path folder, Path jar, Optional<Boolean> samples)
      throws IOException {
    return new Collection(CollectionFolder.open(folder, jar, samples));
  }

  /**
   * Adds the tests at these places that are not there yet: all of them or, when it fails, none.
   *
   * @param places test folders, folders that hold some, or zips of them
   */
  public Collected collect(List<Path> places) throws IOException {
    try (Gathering gathering = new Gathering(folder)) {
      TestPlaces.each(places, gathering);
      gathering.finish();
      return gathering.told();
    }
  }

  /** Puts small files together, so that there are few large ones. */
  public void compact() throws IOException {
    new Compaction(folder).run();
  }

  /** What there is now. */
  public Stock stock() throws IOException {
    Manifest manifest = folder.manifest();
    return new Stock(folder.count(), manifest.files().size(), manifest.bytes());
  }

  /**
   * What a collection holds.
   *
   * @param tests how many
   * @param files that it is made of
   * @param bytes of them
   */
  public record Stock(long tests, int files, long bytes) {}

  @Override
  public void close() throws IOException {
    folder.close();
  }
}
