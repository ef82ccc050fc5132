package meniscus.recorder.archive;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import meniscus.core.finding.InUnits;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.Plan;
import meniscus.drivers.hash.Sha256;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.Notes;
import meniscus.recorder.file.NotesFile;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;

/**
 * What is written to a finished test afterwards: the only parts of its folder that change.
 *
 * @param test as it is now
 * @param notes in its {@code notes.json}
 */
public record NotesOfTest(TestFolder test, Notes notes) {

  private static final int LARGEST_PHOTO = 20 << 20;

  /** Photos that are sent get names of our own: this many digits tell them apart. */
  private static final int NAME_DIGITS = 12;

  /**
   * @throws FileNotAccepted when {@code notes.json} was spoiled by hand; the message says how
   */
  public static NotesOfTest of(TestFolder test) throws IOException {
    String json = test.text(TestFolder.NOTES);
    return new NotesOfTest(
        test, NotesFile.parse(test.folder().resolve(TestFolder.NOTES).toString(), json));
  }

  public NotesOfTest withNote(Instant at, String text) throws IOException {
    return write(test, notes.with(new Notes.Note(Optional.of(at), text)));
  }

  /** The plan of the test, with the changes that were noted afterwards. */
  public Plan plan() throws IOException {
    Plan plan =
        PlanFile.parse(test.folder().resolve(Header.PLAN).toString(), test.text(Header.PLAN));
    List<Plan.ChangeNote> changes = new ArrayList<>(plan.changes());
    changes.addAll(notes.changes());
    return plan.with(new Plan.Subject(plan.part(), plan.port(), changes));
  }

  /** Notes a change on the part that the plan did not. */
  public NotesOfTest changing(Plan.ChangeNote change) throws IOException {
    return write(test, notes.changing(change));
  }

  /** The points of the test, each that was set aside marked so. */
  public List<LiftPoint> points() throws IOException {
    return marked(test.points());
  }

  private List<LiftPoint> marked(List<LiftPoint> points) {
    return points.stream()
        .map(
            point ->
                notes.aside().stream()
                    .filter(aside -> aside.rung() == point.rung())
                    .findFirst()
                    .map(aside -> point.setAside(aside.because()))
                    .orElse(point))
        .toList();
  }

  /**
   * Sets all points at a lift aside: they are struck through, and count for nothing any more.
   *
   * @throws FileNotAccepted when there is none; the message names the lifts that there are
   */
  public NotesOfTest settingAside(double liftM, String because, Instant at) throws IOException {
    Notes more = notes;
    for (int rung : rungs(liftM)) {
      more = more.settingAside(new Notes.Aside(rung, because, Optional.of(at)));
    }
    return write(test, more);
  }

  /** The points at a lift count again. */
  public NotesOfTest takingBack(double liftM) throws IOException {
    Notes more = notes;
    for (int rung : rungs(liftM)) {
      more = more.takingBack(rung);
    }
    return write(test, more);
  }

  private List<Integer> rungs(double liftM) throws IOException {
    List<LiftPoint> points = test.points();
    List<Integer> rungs =
        points.stream()
            .filter(point -> Lifts.same(point.liftM(), liftM))
            .map(LiftPoint::rung)
            .toList();
    if (rungs.isEmpty()) {
      throw new FileNotAccepted(
          test.folder()
              + " has no point at that lift; it has "
              + new InUnits(test.units())
                  .lifts(points.stream().map(LiftPoint::liftM).distinct().sorted().toList()));
    }
    return rungs;
  }

  /**
   * @param earlier name of a test folder that lies beside this one
   */
  public NotesOfTest following(String earlier) throws IOException {
    Path folder = test.folder().toAbsolutePath().normalize();
    if (TestFolder.state(folder.resolveSibling(earlier)) == TestFolder.State.NONE
        || folder.getFileName().toString().equals(earlier)) {
      throw new FileNotAccepted(
          "there is no other test \""
              + earlier
              + "\" beside "
              + test.folder()
              + ": name the folder of the earlier test, without its path");
    }
    return write(test, notes.following(earlier));
  }

  /** Copies a photo into the folder. */
  public NotesOfTest withPhoto(Path photo, String caption) throws IOException {
    byte[] bytes = photo(photo);
    String name = TestFolder.PHOTOS + name(photo, kind(photo.toString(), bytes).ending());
    if (test.files().contains(name) && !Arrays.equals(test.file(name), bytes)) {
      throw new FileNotAccepted(
          test.folder() + " has another " + name + " already: rename the photo first");
    }
    return write(test.attach(name, bytes), notes.with(new Notes.Photo(name, caption)));
  }

  /**
   * Puts a photo that was sent into the folder, under a name of our own made from its content.
   *
   * @throws FileNotAccepted when it is neither JPEG nor PNG
   */
  public NotesOfTest withPhoto(byte[] content, String caption) throws IOException {
    PhotoKind kind = kind("what was sent", content);
    String name =
        TestFolder.PHOTOS
            + "photo-"
            + Sha256.hex(content).substring(0, NAME_DIGITS)
            + kind.ending();
    return write(test.attach(name, content), notes.with(new Notes.Photo(name, caption)));
  }

  private static NotesOfTest write(TestFolder test, Notes notes) throws IOException {
    byte[] json = NotesFile.text(notes).getBytes(StandardCharsets.UTF_8);
    return new NotesOfTest(test.rewriteNotes(json), notes);
  }

  private static byte[] photo(Path file) throws IOException {
    try (InputStream in = Files.newInputStream(file)) {
      byte[] bytes = in.readNBytes(LARGEST_PHOTO + 1);
      if (bytes.length > LARGEST_PHOTO) {
        throw new FileNotAccepted(file + " is above 20 MiB: make it smaller first");
      }
      return bytes;
    } catch (IOException e) {
      throw new FileNotAccepted(file + " cannot be read as a photo: " + e, e);
    }
  }

  private static PhotoKind kind(String name, byte[] content) {
    return PhotoKind.of(content)
        .orElseThrow(
            () -> new FileNotAccepted(name + " is neither JPEG nor PNG: save it as one of them"));
  }

  /** Only what a test folder may hold. */
  private static String name(Path file, String extension) {
    String base = file.getFileName().toString().toLowerCase(Locale.ROOT);
    int dot = base.lastIndexOf('.');
    String plain = (dot > 0 ? base.substring(0, dot) : base).replaceAll("[^a-z0-9_-]+", "-");
    String start = plain.matches("[a-z0-9_].*") ? plain : "photo" + plain;
    return start.substring(0, Math.min(80, start.length())) + extension;
  }
}
