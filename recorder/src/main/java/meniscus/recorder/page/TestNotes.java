package meniscus.recorder.page;

import java.io.IOException;
import java.time.InstantSource;
import java.util.Optional;
import java.util.Set;
import meniscus.core.lift.LiftPoint;
import meniscus.recorder.archive.NotesOfTest;
import meniscus.recorder.archive.PhotoKind;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.file.PlainText;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.page.http.Request;
import meniscus.recorder.page.http.Response;

/** What is written to a finished test from the page, as the command {@code note} writes it. */
record TestNotes(Archive archive, InstantSource clock) {
  private static final Set<String> MEMBERS =
      Set.of("name", "note", "set_aside", "because", "take_back");

  private static final int LONGEST_CAPTION = 200; // two lines below a photo

  /** Our own choice: so that nobody fills the disk; the command note takes more. */
  private static final int MOST_PHOTOS = 40;

  /** One note, one lift to set aside with its reason, or one to take back; lifts by their rung. */
  Response take(byte[] body) throws HttpError, IOException {
    JsonIn in = JsonIn.read(body, MEMBERS);
    String name = in.text("name");
    Optional<String> note = in.optionalText("note").filter(text -> !text.isBlank());
    Optional<Integer> aside = in.optionalWhole("set_aside");
    Optional<Integer> back = in.optionalWhole("take_back");
    if (note.isEmpty() && aside.isEmpty() && back.isEmpty()) {
      throw HttpError.wrong("the note is empty: write what there is to say");
    }
    String because = in.optionalText("because").orElse("");
    if (aside.isPresent() && because.isBlank()) {
      throw HttpError.wrong("say why the lift is set aside");
    }
    TestFolder test = archive.open(name);
    test.refusePacked();
    try (FolderLock lock = FolderLock.take(test.folder())) {
      NotesOfTest notes = NotesOfTest.of(TestFolder.open(lock.folder()));
      if (aside.isPresent()) {
        notes = notes.settingAside(liftM(notes, aside.get()), because, clock.instant());
      }
      if (back.isPresent()) {
        notes = notes.takingBack(liftM(notes, back.get()));
      }
      if (note.isPresent()) {
        notes.withNote(clock.instant(), note.get());
      }
    }
    return Response.json(archive.test(name));
  }

  /** A photo of the part, with what it shows. */
  Response photo(Request asked) throws HttpError, IOException {
    String name = asked.needed("name");
    String caption = PlainText.message(asked.one("caption").orElse("")).strip();
    if (caption.length() > LONGEST_CAPTION) {
      throw HttpError.wrong("a caption has at most " + LONGEST_CAPTION + " letters");
    }
    TestFolder test = archive.open(name);
    test.refusePacked();
    try (FolderLock lock = FolderLock.take(test.folder())) {
      NotesOfTest notes = NotesOfTest.of(TestFolder.open(lock.folder()));
      if (notes.notes().photos().size() >= MOST_PHOTOS) {
        throw HttpError.notNow("this test has " + MOST_PHOTOS + " photos, which is the most");
      }
      notes.withPhoto(asked.body(), caption);
    }
    return Response.json(archive.test(name));
  }

  /** A photo of a test, as it was put there; its type is told by its content. */
  Response photoOf(Request asked) throws HttpError, IOException {
    TestFolder test = archive.glance(asked.needed("name"));
    String file = asked.needed("file");
    if (NotesOfTest.of(test).notes().photos().stream().noneMatch(photo -> photo.file().equals(file))
        || !test.files().contains(file)) {
      throw HttpError.unknown("the test has no such photo");
    }
    byte[] content = test.file(file);
    PhotoKind kind =
        PhotoKind.of(content).orElseThrow(() -> HttpError.unknown("the file is no photo"));
    return Response.file(kind.type(), content);
  }

  private static double liftM(NotesOfTest notes, int rung) throws HttpError, IOException {
    return notes.test().points().stream()
        .filter(point -> point.rung() == rung)
        .findFirst()
        .map(LiftPoint::liftM)
        .orElseThrow(() -> HttpError.wrong("the test has no lift number " + rung));
  }
}
