package meniscus.recorder.collection;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import meniscus.core.quantity.Text;
import meniscus.recorder.collection.Collected.Kind;
import meniscus.recorder.collection.Collected.LeftOut;
import meniscus.recorder.export.ParquetLibrary;
import meniscus.recorder.export.StagedRows;
import meniscus.recorder.export.StagedRows.Mark;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.folder.BadTestFolder;
import meniscus.recorder.folder.Stated;
import meniscus.recorder.folder.TestFolder;

/**
 * One run over test folders: which of them are new, and their rows into files out of sight. Holds
 * one test in memory and a few hundred names, however many tests there are.
 */
final class Gathering implements TestPlaces.Visit, AutoCloseable {

  /** Folders that are asked for at once: one question each would take most of the time. */
  private static final int AT_ONCE = 500;

  /** Staged rows take several times the room that they take in the end; this much at most. */
  private static final long MOST_STAGED = 256L << 20;

  /** A table of the library's with the tests that are known by then. */
  private static final String AT_HAND = "known";

  private final CollectionFolder collection;
  private final Map<CollectedTable, StagedRows> staged = new EnumMap<>(CollectedTable.class);
  private final List<Path> written = new ArrayList<>();
  private final Map<Path, Stated> asked = new HashMap<>();
  private final Set<String> checks = new HashSet<>();
  private final List<LeftOut> leftOut = new ArrayList<>();
  private final int run;
  private String known;
  private long added;
  private long already;
  private long typed;
  private long plates;

  Gathering(CollectionFolder collection) throws IOException {
    this.collection = collection;
    this.run = collection.manifest().nextRun();
    this.known = there(CollectedTable.TESTS);
    Path folder = collection.comingOf("staged");
    for (CollectedTable table : CollectedTable.of(collection.manifest().samples())) {
      staged.put(table, StagedRows.in(folder.resolve(table.word() + ".csv"), table.staged()));
    }
  }

  /** Rows that the collection has already, as SQL selects from them. */
  private String there(CollectedTable table) {
    List<Manifest.Part> parts = collection.manifest().of(table);
    return parts.isEmpty() ? StagedRows.none(table.columns()) : collection.read(parts);
  }

  /** Puts what is known at hand: worth it when it is asked more than once. */
  private void atHand() throws IOException {
    if (!known.equals(AT_HAND)) {
      collection
          .library()
          .run(
              "CREATE OR REPLACE TEMP TABLE "
                  + AT_HAND
                  + " AS SELECT test_id, sha256, notes_sha256 FROM "
                  + known);
      known = AT_HAND;
    }
  }

  @Override
  public void finished(Path folder) throws IOException {
    try {
      Stated stated = TestFolder.stated(folder);
      if (stated.ofPlate()) {
        plates++;
      } else {
        asked.put(folder, stated);
      }
    } catch (BadTestFolder e) {
      leaveOut(folder, Kind.DAMAGED, e.getMessage());
    }
    if (asked.size() >= AT_ONCE) {
      atHand();
      take();
    }
  }

  @Override
  public void unfinished(Path folder) {
    leaveOut(
        folder, Kind.UNFINISHED, "holds an unfinished test: finish it with record --resume --out");
  }

  @Override
  public void typed(Path folder) {
    typed++;
  }

  private void leaveOut(Path folder, Kind kind, String why) {
    leftOut.add(new LeftOut(folder, kind, why));
  }

  /** Of the folders that were found: the new ones. */
  private void take() throws IOException {
    Map<String, List<String>> there = there();
    List<String> rows = new ArrayList<>();
    for (Map.Entry<Path, Stated> one : asked.entrySet()) {
      Path folder = one.getKey();
      Stated stated = one.getValue();
      String id = stated.id().toString();
      List<String> before = there.get(id);
      if (before == null) {
        if (add(folder)) {
          List<String> now = List.of(id, stated.content(), stated.notes());
          there.put(id, now);
          rows.add(now.stream().map(ParquetLibrary::quoted).collect(Collectors.joining(", ")));
        }
      } else if (!before.get(1).equals(stated.content())) {
        leaveOut(
            folder,
            Kind.OTHER_CONTENT,
            "says that it is test "
                + id
                + ", which is in the collection with other content: one of the two was altered");
      } else {
        already++;
        if (!before.get(2).equals(stated.notes())) {
          leaveOut(
              folder,
              Kind.OTHER_NOTES,
              "has other notes or photos than when it was collected, and the collection keeps those"
                  + " of then: collect into a new folder to have these");
        }
      }
    }
    asked.clear();
    if (!rows.isEmpty() && known.equals(AT_HAND)) {
      collection
          .library()
          .run("INSERT INTO " + AT_HAND + " VALUES (" + String.join("), (", rows) + ")");
    }
  }

  /** What the collection has of the tests that are asked for, by id. */
  private Map<String, List<String>> there() throws IOException {
    Map<String, List<String>> there = new HashMap<>();
    if (!asked.isEmpty()) {
      String ids =
          asked.values().stream()
              .map(stated -> ParquetLibrary.quoted(stated.id().toString()))
              .collect(Collectors.joining(", "));
      collection
          .library()
          .ask(
              "SELECT test_id, sha256, notes_sha256 FROM "
                  + known
                  + " WHERE test_id IN ("
                  + ids
                  + ")")
          .forEach(row -> there.put(row.get(0), row));
    }
    return there;
  }

  /** The rows of a test: all of them, or none. */
  private boolean add(Path folder) throws IOException {
    Map<CollectedTable, Mark> marks = new EnumMap<>(CollectedTable.class);
    for (Map.Entry<CollectedTable, StagedRows> table : staged.entrySet()) {
      marks.put(table.getKey(), table.getValue().mark());
    }
    try {
      CollectedTest test = CollectedTest.open(folder);
      if (staged.containsKey(CollectedTable.SAMPLES)) {
        test.samples(staged.get(CollectedTable.SAMPLES)::add);
      }
      test.budget(staged.get(CollectedTable.BUDGET)::add);
      test.points(staged.get(CollectedTable.POINTS)::add);
      staged.get(CollectedTable.TESTS).add(test.test());
      test.checks(this::check);
    } catch (BadTestFolder | FileNotAccepted e) {
      for (Map.Entry<CollectedTable, Mark> mark : marks.entrySet()) {
        staged.get(mark.getKey()).backTo(mark.getValue());
      }
      leaveOut(folder, Kind.DAMAGED, e.getMessage());
      return false;
    }
    added++;
    if (marks.values().stream().mapToLong(Mark::bytes).sum() > MOST_STAGED) {
      write();
    }
    return true;
  }

  /** A bench has its checks with it in every test. */
  private void check(List<Object> row) throws IOException {
    if (checks.add((String) row.get(0))) {
      staged.get(CollectedTable.CHECKS).add(row);
    }
  }

  /** The staged rows into files out of sight, by year. */
  private void write() throws IOException {
    Path into = collection.comingOf("written-" + written.size());
    for (Map.Entry<CollectedTable, StagedRows> table : staged.entrySet()) {
      Path place = into.resolve(table.getKey().word());
      if (table.getValue().mark().rows() > 0) {
        collection
            .library()
            .run(
                "COPY (SELECT * FROM "
                    + table.getValue().sql()
                    + (table.getKey() == CollectedTable.CHECKS
                        ? " WHERE check_id NOT IN (SELECT check_id FROM "
                            + there(CollectedTable.CHECKS)
                            + ")"
                        : "")
                    + ") TO "
                    + ParquetLibrary.quoted(place.toString())
                    + " (FORMAT parquet, COMPRESSION zstd, PARTITION_BY (year), FILENAME_PATTERN "
                    + ParquetLibrary.quoted(name("{i}"))
                    + ")");
      }
      table.getValue().backTo(new Mark(0, 0));
    }
    written.add(into);
  }

  private String name(String last) {
    return Text.of("%06d-%d-%s", run, written.size(), last);
  }

  /** Makes all of it part of the collection. */
  void finish() throws IOException {
    take();
    if (added > 0) {
      write();
      beginEmpty(written.get(0));
      collection.add(written);
    }
  }

  /** A table of no row is a file without one, so that whoever asks finds a table. */
  private void beginEmpty(Path into) throws IOException {
    for (CollectedTable table : staged.keySet()) {
      boolean some =
          !collection.manifest().of(table).isEmpty()
              || written.stream().anyMatch(one -> Files.exists(one.resolve(table.word())));
      if (!some) {
        Path place = Files.createDirectories(into.resolve(table.word()).resolve("year=0"));
        collection.copy(StagedRows.none(table.columns()), place.resolve(name("0") + ".parquet"));
      }
    }
  }

  Collected told() {
    return new Collected(added, already, typed, plates, leftOut);
  }

  @Override
  public void close() throws IOException {
    for (StagedRows rows : staged.values()) {
      rows.close();
    }
  }
}
