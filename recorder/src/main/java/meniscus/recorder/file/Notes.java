package meniscus.recorder.file;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.lift.Plan;

/**
 * What is written to a test afterwards.
 *
 * @param notes in the order they were written
 * @param photos files of the test folder
 * @param follows name of the earlier test that this one's change notes set out from
 * @param aside points that a person set aside afterwards
 * @param changes on the part that were noted after the test, besides those of its plan
 */
public record Notes(
    List<Note> notes,
    List<Photo> photos,
    Optional<String> follows,
    List<Aside> aside,
    List<Plan.ChangeNote> changes) {

  public static final Notes NONE =
      new Notes(List.of(), List.of(), Optional.empty(), List.of(), List.of());

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

  /**
   * A point that was set aside; what was measured stays as it is.
   *
   * @param at when; empty when nobody says
   */
  public record Aside(int rung, String because, Optional<Instant> at) {}

  public Notes {
    notes = List.copyOf(notes);
    photos = List.copyOf(photos);
    aside = List.copyOf(aside);
    changes = List.copyOf(changes);
  }

  public Notes with(Note note) {
    List<Note> more = new ArrayList<>(notes);
    more.add(note);
    return new Notes(more, photos, follows, aside, changes);
  }

  /** With one more photo, or another caption for one that is there. */
  public Notes with(Photo photo) {
    List<Photo> more = new ArrayList<>(photos);
    more.removeIf(one -> one.file().equals(photo.file()));
    more.add(photo);
    return new Notes(notes, more, follows, aside, changes);
  }

  public Notes following(String earlier) {
    return new Notes(notes, photos, Optional.of(earlier), aside, changes);
  }

  /** With a point set aside; a newer word replaces an older one. */
  public Notes settingAside(Aside point) {
    List<Aside> more = new ArrayList<>(takingBack(point.rung()).aside);
    more.add(point);
    return new Notes(notes, photos, follows, more, changes);
  }

  /** With a point that counts again. */
  public Notes takingBack(int rung) {
    return new Notes(
        notes, photos, follows, aside.stream().filter(one -> one.rung() != rung).toList(), changes);
  }

  /** With one more change on the part. */
  public Notes changing(Plan.ChangeNote change) {
    List<Plan.ChangeNote> more = new ArrayList<>(changes);
    more.add(change);
    return new Notes(notes, photos, follows, aside, more);
  }
}
