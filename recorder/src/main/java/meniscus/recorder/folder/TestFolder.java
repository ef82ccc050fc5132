package meniscus.recorder.folder;

import java.io.BufferedInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedMap;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.UUID;
import java.util.function.Predicate;
import java.util.zip.GZIPInputStream;
import meniscus.core.bench.PointMeans;
import meniscus.core.lift.Beside;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.LoudTenth;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestEvent;
import meniscus.core.uncertainty.Contribution;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalVisitor;
import meniscus.recorder.zip.ZipDisk;

/** A finished test, read from its folder; every file was found whole when it was opened. */
public final class TestFolder {

  /** The one file that people may change; a changed one is said, not refused. */
  public static final String NOTES = "notes.json";

  /** Where photos are put. */
  public static final String PHOTOS = "photos/";

  /** What a folder holds. */
  public enum State {
    /** No test. */
    NONE,
    /** A journal, whatever else: finish it by resuming. */
    UNFINISHED,
    /** A test folder, and no journal any more but one that is a leftover: it tells nothing more. */
    FINISHED
  }

  private final Disk disk;
  private final Path folder;
  private final PackageFile described;
  private final Plan.Units units;
  private final SamplesTable samples;
  private final boolean notesChanged;

  private TestFolder(Disk disk, Path folder, PackageFile described, boolean notesChanged)
      throws BadTestFolder {
    this.disk = disk;
    this.folder = folder;
    this.described = described;
    this.notesChanged = notesChanged;
    this.units = PointsTable.units(table(PointsTable.FILE));
    this.samples = SamplesTable.of(table(SamplesTable.FILE).fields());
    String asked = isOfPlate() ? Header.PLATE : Header.PLAN;
    for (String needed : List.of(EventsTable.FILE, BudgetTable.FILE, Header.BENCH, asked)) {
      table(needed);
    }
  }

  /**
   * What lies at a place: a folder, or a zip of packed tests, or a folder in one.
   *
   * @throws FileNotAccepted when the zip is damaged, or not one that is read here
   */
  public static State state(Path place) {
    Place at = Place.of(place);
    return state(at.disk(), at.folder());
  }

  /** The folder of the test at a place: in a zip that packs one test alone, that one's. */
  public static Path home(Path place) {
    return Place.of(place).folder();
  }

  static State state(Disk disk, Path folder) {
    boolean described = disk.exists(folder.resolve(PackageFile.FILE));
    if (disk.exists(folder.resolve(Journal.NAME))) {
      return described && madeOfAll(disk, folder) ? State.FINISHED : State.UNFINISHED;
    }
    return described ? State.FINISHED : State.NONE;
  }

  /** Whether the list of a folder's files was written when its journal was as long as it is. */
  private static boolean madeOfAll(Disk disk, Path folder) {
    try (Disk.OpenFile journal = disk.read(folder.resolve(Journal.NAME))) {
      return PackageFile.read(FileCheck.bytes(disk, folder, PackageFile.FILE)).journalBytes()
          == journal.size();
    } catch (IOException | FileNotAccepted damaged) {
      return false;
    }
  }

  /**
   * Opens a test folder, packed or not, and checks every file in it.
   *
   * @throws BadTestFolder saying which file is missing, changed or not allowed
   */
  public static TestFolder open(Path folder) throws IOException {
    return open(Place.of(folder), path -> true);
  }

  /**
   * Opens a test folder for a look at its tables: the samples and the calm record are only measured
   * by their size, everything else is checked as in {@link #open}.
   *
   * @throws BadTestFolder saying which file is missing, changed or not allowed
   */
  public static TestFolder glance(Path folder) throws IOException {
    return open(Place.of(folder), path -> !path.endsWith(".gz") && !path.startsWith("calm/"));
  }

  static TestFolder open(Disk disk, Path folder) throws IOException {
    return open(new Place(disk, folder), path -> true);
  }

  /**
   * What a finished folder says of itself, without looking at its files.
   *
   * @throws BadTestFolder when that is damaged, or of a newer format
   */
  public static Stated stated(Path place) throws IOException {
    Place at = Place.of(place);
    return Stated.of(PackageFile.read(FileCheck.bytes(at.disk(), at.folder(), PackageFile.FILE)));
  }

  private static TestFolder open(Place place, Predicate<String> content) throws IOException {
    Disk disk = place.disk();
    Path folder = place.folder();
    if (!disk.exists(folder.resolve(PackageFile.FILE))) {
      throw new BadTestFolder(
          state(disk, folder) == State.UNFINISHED
              ? folder + " holds an unfinished test: finish it with record --resume --out " + folder
              : place.noTest());
    }
    PackageFile described = PackageFile.read(FileCheck.bytes(disk, folder, PackageFile.FILE));
    boolean notesChanged = false;
    for (Resource resource : described.resources()) {
      if (content.test(resource.path())) {
        notesChanged |= !FileCheck.content(disk, folder, resource);
      } else {
        FileCheck.size(disk, folder, resource);
      }
    }
    return new TestFolder(disk, folder, described, notesChanged);
  }

  private Resource table(String path) throws BadTestFolder {
    return described
        .resource(path)
        .orElseThrow(() -> new BadTestFolder(PackageFile.FILE + " does not list " + path));
  }

  public Path folder() {
    return folder;
  }

  PackageFile described() {
    return described;
  }

  /** True when an orifice plate stood in the head's place: it is no test of a port. */
  public boolean isOfPlate() {
    return described.isOfPlate();
  }

  /** What no other test has; empty in folders from before tests had an id. */
  public Optional<UUID> id() {
    return described.origin().id();
  }

  /** Which test it is, and of what content. */
  public Stated stated() {
    return Stated.of(described);
  }

  /** Program and version that recorded it. */
  public String program() {
    return described.origin().program();
  }

  /** That it was written in, such as {@code test/1.6}. */
  public String format() {
    return described.format();
  }

  public String title() {
    return described.title();
  }

  /** When the test began. */
  public Instant created() {
    return described.origin().created();
  }

  /** What the journal had lost, in words; empty in a whole test. */
  public List<String> damage() {
    return described.damage();
  }

  /** True when notes.json was changed by hand since the program wrote it. */
  public boolean notesChanged() {
    return notesChanged;
  }

  /** Units of points.csv. */
  public Plan.Units units() {
    return units;
  }

  /** The instruments that samples name by index; their channels are in SI here. */
  public List<Header.Columns> instruments() {
    return samples.instruments();
  }

  /** Names of all files but datapackage.json. */
  public List<String> files() {
    return described.resources().stream().map(Resource::path).toList();
  }

  /** Content of a file by its name in {@link #files}, for example {@code plan.json}. */
  public byte[] file(String name) throws IOException {
    table(name);
    return FileCheck.bytes(disk, folder, name);
  }

  /** The same of a file that people may read. */
  public String text(String name) throws IOException {
    return new String(file(name), StandardCharsets.UTF_8);
  }

  /** Names of all files with datapackage.json, sorted: what a copy of the folder needs. */
  public SortedSet<String> everything() {
    SortedSet<String> names = new TreeSet<>(files());
    names.add(PackageFile.FILE);
    return names;
  }

  /** Reads a file by its name in {@link #everything}. */
  public InputStream content(String name) throws IOException {
    return name.equals(PackageFile.FILE) ? FileCheck.stream(disk, folder, name) : open(name);
  }

  /**
   * @throws BadTestFolder when the test is packed: it is only read
   */
  public void refusePacked() throws BadTestFolder {
    if (disk instanceof ZipDisk) {
      throw new BadTestFolder(
          folder + " is packed, and packed tests are only read: unpack it, and name the folder");
    }
  }

  /** The kept points by rung, with their budgets, back in SI. */
  public List<LiftPoint> points() throws IOException {
    Map<Integer, List<Contribution>> budgets = read(BudgetTable.FILE, BudgetTable::read);
    Map<Integer, List<Beside>> besides = besides();
    Anchors anchors = anchors();
    PointsTable table = new PointsTable(units);
    List<LiftPoint> points = new ArrayList<>();
    eachPoint(
        table.askedColumns(),
        row -> {
          int rung = PointsTable.whole(row, "rung");
          LiftPoint point =
              table
                  .point(row, anchors, budgets.getOrDefault(rung, List.of()))
                  .withBeside(besides.getOrDefault(rung, List.of()));
          points.add(described.olderVerdicts() ? point.withVerdictOfToday() : point);
        });
    return points;
  }

  Map<Integer, List<Beside>> besides() throws IOException {
    return has(BesideTable.FILE) ? read(BesideTable.FILE, BesideTable::read) : Map.of();
  }

  /** True where a table that not every test has was written. */
  boolean has(String name) {
    return described.resource(name).isPresent();
  }

  private interface TableReader<T> {
    T read(InputStream in) throws IOException;
  }

  private <T> T read(String name, TableReader<T> reader) throws IOException {
    try (InputStream in = open(name)) {
      return reader.read(in);
    }
  }

  /** Whether a verdict can differ by the rules of this program alone. */
  public boolean verdictsByOtherRules() {
    return described.otherRules();
  }

  void eachPoint(List<String> columns, Csv.RowReader reader) throws IOException {
    try (InputStream in = open(PointsTable.FILE)) {
      Csv.read(in, PointsTable.FILE, columns, reader);
    }
  }

  Anchors anchors() throws IOException {
    Anchors anchors = new Anchors(created());
    events().forEach(anchors::take);
    return anchors;
  }

  /** When each kept rung was kept, by its number. */
  public Map<Integer, Instant> keptAt() throws IOException {
    Map<Integer, Instant> keptAt = new HashMap<>();
    eachPoint(
        List.of("rung", "kept_at"),
        row -> keptAt.put(PointsTable.whole(row, "rung"), row.instant("kept_at")));
    return keptAt;
  }

  public List<TestEvent> events() throws IOException {
    List<TestEvent> events = new ArrayList<>();
    try (InputStream in = open(EventsTable.FILE)) {
      EventsTable.read(in, events::add);
    }
    return events;
  }

  /**
   * Shows rows and events in exactly the order in which they happened; kept points are shown as
   * their events only.
   */
  public void replay(JournalVisitor visitor) throws IOException {
    Optional<Resource> fast = described.resource(FastTable.FILE);
    try (InputStream in = new GZIPInputStream(open(SamplesTable.FILE), 1 << 16);
        FolderReplay replay =
            new FolderReplay(
                events(),
                visitor,
                fast.isEmpty() ? Optional.empty() : Optional.of(fastReader(fast.get())))) {
      samples.read(in, replay::row);
      replay.end();
    } catch (java.util.zip.ZipException | java.io.EOFException e) {
      throw new BadTestFolder(SamplesTable.FILE + " is not whole: " + e.getMessage(), e);
    }
  }

  private FastTable.Reader fastReader(Resource described) throws IOException {
    FastTable table = FastTable.of(instruments(), described.fields());
    return table.new Reader(new GZIPInputStream(open(FastTable.FILE), 1 << 16));
  }

  /** What was read of a plate by rung, as a calibration takes it; none of a port. */
  public SortedMap<Integer, PointMeans> readings() throws IOException {
    return has(ReadingsTable.FILE)
        ? read(ReadingsTable.FILE, ReadingsTable::read)
        : Collections.emptySortedMap();
  }

  /** The fast channel's levels over time; none in most tests. */
  public List<LoudTenth> loud() throws IOException {
    try {
      return has(LoudTable.FILE) ? read(LoudTable.FILE, LoudTable::read) : List.of();
    } catch (java.util.zip.ZipException | java.io.EOFException e) {
      throw new BadTestFolder(LoudTable.FILE + " is not whole: " + e.getMessage(), e);
    }
  }

  /**
   * Writes notes.json anew, and its hash into datapackage.json.
   *
   * @return the folder as it is then
   */
  public TestFolder rewriteNotes(byte[] notes) throws IOException {
    new FolderWriter(disk, folder).rewrite(described, NOTES, notes);
    return open(disk, folder);
  }

  /**
   * Puts a photo into the folder, and its hash into datapackage.json.
   *
   * @param name such as {@code photos/bowl.jpg}
   * @return the folder as it is then
   */
  public TestFolder attach(String name, byte[] photo) throws IOException {
    if (!name.startsWith(PHOTOS)) {
      throw new IllegalArgumentException("a photo goes into " + PHOTOS);
    }
    new FolderWriter(disk, folder).rewrite(described, name, photo);
    return open(disk, folder);
  }

  private InputStream open(String name) throws IOException {
    table(name);
    return new BufferedInputStream(FileCheck.stream(disk, folder, name), 1 << 16);
  }
}
