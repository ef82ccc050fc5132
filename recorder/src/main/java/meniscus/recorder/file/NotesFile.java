package meniscus.recorder.file;

import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.UnitSystem;

/** {@code notes.json} of a test folder: docs/file-formats.md says each member. */
public final class NotesFile {

  private static final FormatVersion FORMAT = new FormatVersion("notes", 1, 2);

  private static final int MOST_RUNGS = 100_000;

  private NotesFile() {}

  /**
   * @param name for messages
   * @throws FileNotAccepted saying what is wrong, where, and what to do
   */
  public static Notes parse(String name, String json) {
    Map<String, Object> raw = new LinkedHashMap<>(StrictJson.parse(name, json));
    Object written = raw.remove("notes");
    ObjectReader members = new ObjectReader(name, raw, member -> {});
    try {
      FORMAT.check(members);
      List<Notes.Photo> photos = members.list("photos", NotesFile::photo);
      Optional<String> follows = members.optionalText("follows");
      List<Notes.Aside> aside = members.list("set_aside", each -> aside(name, each));
      List<Plan.ChangeNote> changes = members.list("changes", PlanFile::change);
      members.done();
      return new Notes(notes(name, written), photos, follows, aside, changes);
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  /** A note is a text, or a text with the time it was written. */
  private static List<Notes.Note> notes(String name, Object written) {
    List<Notes.Note> notes = new ArrayList<>();
    if (written == null) {
      return notes;
    }
    if (!(written instanceof List<?> list)) {
      throw new FileNotAccepted(name + ": \"notes\" must be a list [ … ]");
    }
    for (Object one : list) {
      if (one instanceof String text) {
        notes.add(new Notes.Note(Optional.empty(), text));
      } else if (one instanceof Map<?, ?> members
          && members.get("text") instanceof String text
          && (members.get("at") == null || members.get("at") instanceof String)) {
        notes.add(new Notes.Note(at(name, (String) members.get("at")), text));
      } else {
        throw new FileNotAccepted(
            name + ": a note is a text, or {\"at\": \"2031-05-06T07:08:09Z\", \"text\": \"…\"}");
      }
    }
    return notes;
  }

  private static Optional<Instant> at(String name, String text) {
    try {
      return Optional.ofNullable(text).map(Instant::parse);
    } catch (DateTimeException e) {
      throw new FileNotAccepted(
          name + ": \"" + text + "\" is not a time such as 2031-05-06T07:08:09Z", e);
    }
  }

  private static Notes.Aside aside(String name, ObjectReader members) {
    return members.done(
        new Notes.Aside(
            members.whole("rung", 0, 1, MOST_RUNGS),
            members.text("because"),
            at(name, members.optionalText("at").orElse(null))));
  }

  private static Notes.Photo photo(ObjectReader members) {
    return members.done(new Notes.Photo(members.text("file"), members.text("caption", "")));
  }

  /** The file's text; {@link #parse} gives the same again. */
  public static String text(Notes notes) {
    ObjectWriter file = new ObjectWriter(UnitSystem.METRIC).put("meniscus", FORMAT.toString());
    file.put("notes", notes.notes().stream().map(note -> note(file, note)).toList());
    file.list(
        "photos",
        notes.photos(),
        photo -> file.another().put("file", photo.file()).text("caption", photo.caption()));
    file.list(
        "set_aside",
        notes.aside(),
        each -> {
          ObjectWriter one = file.another().put("rung", each.rung()).put("because", each.because());
          each.at().ifPresent(at -> one.put("at", at.toString()));
          return one;
        });
    file.list("changes", notes.changes(), change -> PlanFile.write(file.another(), change));
    notes.follows().ifPresent(earlier -> file.put("follows", earlier));
    return StrictJson.print(file.members());
  }

  private static Object note(ObjectWriter file, Notes.Note note) {
    return note.at().isEmpty()
        ? note.text()
        : file.another().put("at", note.at().get().toString()).put("text", note.text()).members();
  }
}
