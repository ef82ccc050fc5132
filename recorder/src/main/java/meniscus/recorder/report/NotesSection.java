package meniscus.recorder.report;

import java.io.IOException;
import java.util.Base64;
import java.util.List;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.Notes;

/** Free notes and photos of tests; photos stand in the report itself. */
final class NotesSection {

  /** Larger photos are named, not shown: a report must fit into a letter. */
  private static final int LARGEST_SHOWN = 4 << 20;

  private NotesSection() {}

  static void write(Markup out, List<TestRead> tests) {
    List<TestRead> noted =
        tests.stream()
            .filter(t -> !t.notes().notes().isEmpty() || !t.notes().photos().isEmpty())
            .toList();
    if (noted.isEmpty()) {
      return;
    }
    out.leaf("h2", "Notes and photos");
    for (TestRead test : noted) {
      out.leaf("h3", test.curve().name());
      for (Notes.Note note : test.notes().notes()) {
        String day = note.at().map(at -> at.toString().substring(0, 10) + ": ").orElse("");
        out.leaf("p", day + note.text());
      }
      test.notes().photos().forEach(photo -> photo(out, test, photo));
    }
  }

  private static void photo(Markup out, TestRead test, Notes.Photo photo) {
    String said = photo.caption().isBlank() ? photo.file() : photo.caption();
    byte[] bytes;
    try {
      bytes = test.folder().file(photo.file());
    } catch (IOException e) {
      throw new FileNotAccepted(test.folder().folder() + ": " + e.getMessage(), e);
    }
    if (bytes.length > LARGEST_SHOWN) {
      out.leaf("p", said + " (" + photo.file() + ", too large to be shown here)");
      return;
    }
    String type = photo.file().endsWith(".png") ? "image/png" : "image/jpeg";
    out.open("figure", "class", "together");
    out.empty(
        "img",
        "src",
        "data:" + type + ";base64," + Base64.getEncoder().encodeToString(bytes),
        "alt",
        said);
    out.leaf("figcaption", said).close().line();
  }
}
