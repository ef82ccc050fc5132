package meniscus.recorder.collection;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import meniscus.core.quantity.Text;
import meniscus.recorder.collection.Manifest.Part;

/**
 * Puts small files of one table and year together. The new ones are in their places before the
 * manifest names them and no longer the old ones, and those go last.
 *
 * @param folder of the collection
 */
record Compaction(CollectionFolder folder) {

  /** Files to be put together are smaller than this: engines read larger ones at full speed. */
  private static final long SMALL = 32L << 20;

  /** No file is to be larger. */
  private static final long LARGE = 256L << 20;

  /** Puts small files of one table and year together. */
  void run() throws IOException {
    List<Part> old = new ArrayList<>();
    Manifest manifest = folder.manifest();
    int run = manifest.nextRun();
    Path into = folder.comingOf("compacted");
    for (CollectedTable table : CollectedTable.of(manifest.samples())) {
      Set<Integer> years =
          manifest.of(table).stream()
              .map(Part::year)
              .collect(Collectors.toCollection(TreeSet::new));
      for (int year : years) {
        List<Part> small =
            manifest.of(table).stream()
                .filter(part -> part.year() == year && part.bytes() < SMALL)
                .toList();
        if (small.size() > 1) {
          together(
              small, run, Files.createDirectories(into.resolve(table.word() + "/year=" + year)));
          old.addAll(small);
        }
      }
    }
    List<Part> made = folder.place(List.of(into));
    folder.commit(manifest.without(old).with(made));
    for (Part part : old) {
      folder.delete(part);
    }
  }

  private void together(List<Part> small, int run, Path into) throws IOException {
    long bytes = small.stream().mapToLong(Part::bytes).sum();
    // The last of several files is as large as the others, but for what packs better together.
    long files = (bytes + LARGE - 1) / LARGE;
    List<Part> left = new ArrayList<>(small);
    for (int file = 0; file < files; file++) {
      List<Part> these = new ArrayList<>();
      for (long taken = 0; !left.isEmpty() && taken < bytes / files; ) {
        these.add(left.remove(0));
        taken += these.get(these.size() - 1).bytes();
      }
      if (file + 1 == files) {
        these.addAll(left);
      }
      folder.copy(
          "(SELECT * FROM " + folder.read(these) + ")",
          into.resolve(Text.of("%06d-%d-0.parquet", run, file)));
    }
  }
}
