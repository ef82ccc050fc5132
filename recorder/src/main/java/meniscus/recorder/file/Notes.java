package meniscus.recorder.file;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * What is written to a test afterwards.
 *
 * @param notes in the order they were written
 * @param photos files of the test folder
 * @param follows name of the earlier test that this one's change notes set out from
 */
public record Notes(List<Note> notes, List<Photo> photos, Optional<String> follows) {

  public static final Notes NONE = new Notes(List.of(), List.of(), Optional.empty());

  /**
   * A free note.
   *
   * @param at when it was written; empty when nobody says
   */
  public record Note(Optional<Instant> at, String text) {}

  /**
   * A picture.
   *
   * @param file its name within the test folder
   * @param caption in words; may be empty
   */
  public record Photo(String file, String caption) {}

  public Notes {
    notes = List.copyOf(notes);
    photos = List.copyOf(photos);
  }

  public Notes with(Note note) {
    List<Note> more = new ArrayList<>(notes);
    more.add(note);
    return new Notes(more, photos, follows);
  }

  /** With one more photo, or another caption for one that is there. */
  public Notes with(Photo photo) {
    List<Photo> more = new ArrayList<>(photos);
    more.removeIf(one -> one.file().equals(photo.file()));
    more.add(photo);
    return new Notes(notes, more, follows);
  }

  public Notes following(String earlier) {
    return new Notes(notes, photos, Optional.of(earlier));
  }
}
