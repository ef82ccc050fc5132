package meniscus.recorder.folder;

import de.siegmar.fastcsv.writer.CsvWriter;
import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.zip.GZIPOutputStream;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestEvent;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.InsideName;
import meniscus.recorder.journal.Damage;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.JournalVisitor;
import meniscus.recorder.journal.Recovered;

/**
 * Turns a journal into a test folder. Each file is written beside its place, forced, and renamed;
 * {@code datapackage.json} comes last, so that a folder without it is unfinished and nothing else.
 */
final class FolderWriter {

  private static final String UNFINISHED = ".part";
  private static final byte[] NO_NOTES =
      "{\"meniscus\":\"notes/1\",\"notes\":[]}\n".getBytes(StandardCharsets.UTF_8);

  private final Disk disk;
  private final Path folder;
  private final List<Resource> resources = new ArrayList<>();

  FolderWriter(Disk disk, Path folder) {
    this.disk = disk;
    this.folder = folder;
  }

  /** Writes the bytes of one file. */
  private interface Filling {
    /**
     * @return rows of a table, or −1
     */
    long into(OutputStream out) throws IOException;
  }

  /**
   * @param plan as it was in the end; empty where it is the one of the journal
   * @param apart the instrument whose frames stand in a table of their own
   */
  void write(
      Recovered test,
      WorkedOut workedOut,
      Optional<byte[]> plan,
      OptionalInt apart,
      Plan.Units units,
      String title)
      throws IOException {
    Header header = test.headerOrRefuse();
    disk.delete(folder.resolve(PackageFile.FILE));
    disk.forceFolder(folder);
    Anchors anchors =
        apart.isPresent()
            ? withFast(test, header, apart.getAsInt())
            : samplesAndEvents(test, header, Optional.empty());
    points(workedOut.points(), new PointsTable(units), anchors);
    if (!workedOut.loud().isEmpty()) {
      resources.add(
          put(LoudTable.FILE, LoudTable.FIELDS, out -> LoudTable.write(out, workedOut.loud())));
    }
    if (!workedOut.readings().isEmpty()) {
      resources.add(
          put(
              ReadingsTable.FILE,
              ReadingsTable.FIELDS,
              out -> ReadingsTable.write(out, workedOut.readings())));
    }
    for (Map.Entry<String, byte[]> file : header.files().entrySet()) {
      plain(
          file.getKey(),
          file.getKey().equals(Header.PLAN) ? plan.orElse(file.getValue()) : file.getValue());
    }
    if (!header.files().containsKey(TestFolder.NOTES)) {
      plain(TestFolder.NOTES, NO_NOTES);
    }
    disk.forceFolder(folder);
    describe(
        new PackageFile(
            header.files().containsKey(Header.PLATE)
                ? PackageFile.PLATE_FORMAT
                : PackageFile.FORMAT,
            title,
            new PackageFile.Origin(header.id(), header.program(), header.created()),
            test.end(),
            damage(test),
            resources));
  }

  void describe(PackageFile described) throws IOException {
    byte[] bytes = described.write();
    put(PackageFile.FILE, List.of(), out -> copy(bytes, out));
    disk.forceFolder(folder);
  }

  private static List<String> damage(Recovered test) {
    List<String> damage = new ArrayList<>();
    test.damage().stream().map(Damage::inWords).forEach(damage::add);
    if (test.lostRows() > 0) {
      damage.add(test.lostRows() + " rows of samples are lost");
    }
    return damage;
  }

  /** The frames of one instrument in a table of their own, in the same pass. */
  private Anchors withFast(Recovered test, Header header, int instrument) throws IOException {
    FastTable table = new FastTable(header.instruments(), instrument);
    Anchors[] anchors = new Anchors[1];
    Resource fast =
        put(
            FastTable.FILE,
            table.fields(),
            out -> {
              GZIPOutputStream gzip = new GZIPOutputStream(out, 1 << 16);
              FastTable.Writer writer = table.new Writer(gzip);
              anchors[0] =
                  samplesAndEvents(test, header, Optional.of(new Apart(instrument, writer)));
              writer.flush();
              gzip.finish();
              return writer.rows();
            });
    resources.add(fast);
    return anchors[0];
  }

  private record Apart(int instrument, FastTable.Writer writer) {}

  /** Both in one pass over the journal. */
  private Anchors samplesAndEvents(Recovered test, Header header, Optional<Apart> apart)
      throws IOException {
    SamplesTable table = new SamplesTable(header.instruments());
    Anchors anchors = new Anchors(header.created());
    Resource[] events = new Resource[1];
    Resource samples =
        put(
            SamplesTable.FILE,
            table.fields(),
            out -> {
              GZIPOutputStream gzip = new GZIPOutputStream(out, 1 << 16);
              SamplesTable.Writer writer = table.new Writer(gzip);
              events[0] =
                  put(
                      EventsTable.FILE,
                      EventsTable.FIELDS,
                      eventsOut -> replay(test, writer, apart, anchors, eventsOut));
              writer.flush();
              gzip.finish();
              return writer.rows();
            });
    resources.add(samples);
    resources.add(events[0]);
    return anchors;
  }

  private long replay(
      Recovered test,
      SamplesTable.Writer samples,
      Optional<Apart> apart,
      Anchors anchors,
      OutputStream eventsOut)
      throws IOException {
    long[] rows = {0};
    long[] frames = {0};
    CsvWriter events = Csv.writer(eventsOut, EventsTable.FIELDS);
    JournalReader.read(
        disk,
        test.source(),
        new JournalVisitor() {
          @Override
          public void row(long momentNanos, int instrument, long present, double[] values)
              throws IOException {
            if (apart.isPresent() && apart.get().instrument() == instrument) {
              apart.get().writer().row(frames[0], momentNanos, present, values);
            } else {
              samples.row(momentNanos, instrument, present, values);
            }
            frames[0]++;
          }

          @Override
          public void event(TestEvent event) {
            anchors.take(event);
            events.writeRecord(EventsTable.row(event, anchors.latest()));
            rows[0]++;
          }
        });
    events.flush();
    return rows[0];
  }

  private void points(List<LiftPoint> points, PointsTable table, Anchors anchors)
      throws IOException {
    resources.add(
        put(
            PointsTable.FILE,
            table.fields(),
            out -> {
              CsvWriter csv = Csv.writer(out, table.fields());
              for (LiftPoint point : points) {
                csv.writeRecord(table.row(point, anchors.of(point.taken().segment())));
              }
              csv.flush();
              return points.size();
            }));
    resources.add(put(BudgetTable.FILE, BudgetTable.FIELDS, out -> BudgetTable.write(out, points)));
    if (points.stream().anyMatch(point -> !point.beside().isEmpty())) {
      resources.add(
          put(BesideTable.FILE, BesideTable.FIELDS, out -> BesideTable.write(out, points)));
    }
  }

  private void plain(String name, byte[] content) throws IOException {
    resources.add(put(name, List.of(), out -> copy(content, out)));
  }

  private static long copy(byte[] content, OutputStream out) throws IOException {
    out.write(content);
    return -1;
  }

  /**
   * Writes a file beside its place, forces it, and puts it there in one step.
   *
   * @throws NotWritten naming the file that the disk does not take
   */
  private Resource put(String name, List<Field> fields, Filling filling) throws IOException {
    try {
      return putOrFail(name, fields, filling);
    } catch (NotWritten | BadTestFolder e) {
      throw e;
    } catch (IOException e) {
      throw new NotWritten(folder.resolve(name), e);
    }
  }

  private Resource putOrFail(String name, List<Field> fields, Filling filling) throws IOException {
    Path parent = folder.resolve(name).getParent();
    disk.createFolders(parent);
    Path part = InsideName.resolve(disk, folder, name + UNFINISHED);
    Resource resource;
    try (Disk.OpenFile file = disk.write(part)) {
      FileOut hashed = new FileOut(file);
      BufferedOutputStream out = new BufferedOutputStream(hashed, 1 << 16);
      long rows = filling.into(out);
      out.flush();
      file.force();
      OptionalLong counted = rows < 0 ? OptionalLong.empty() : OptionalLong.of(rows);
      resource = new Resource(name, hashed.position(), hashed.sha256Hex(), counted, fields);
    }
    disk.rename(part, folder.resolve(name));
    if (!parent.equals(folder)) {
      disk.forceFolder(parent);
    }
    return resource;
  }

  /** Writes notes or a photo, then the package file that holds their hash. */
  void rewrite(PackageFile described, String name, byte[] content) throws IOException {
    Resource written = put(name, List.of(), out -> copy(content, out));
    disk.forceFolder(folder);
    describe(described.with(written));
  }
}
