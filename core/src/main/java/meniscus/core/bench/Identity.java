package meniscus.core.bench;

import java.util.Collections;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;

/**
 * Who a bench is. A name is typed, and two benches may bear the same one; an id is drawn once.
 *
 * @param name for people
 * @param id empty as long as none was drawn
 * @param homes where its file may be worked with, so that a copy made for another bench is noticed
 * @param notes for people; may be empty
 */
public record Identity(String name, Optional<UUID> id, Set<String> homes, String notes) {

  public Identity {
    Objects.requireNonNull(name);
    Objects.requireNonNull(id);
    homes = Collections.unmodifiableSet(new TreeSet<>(homes));
    Objects.requireNonNull(notes);
  }

  /** A bench whose id was not drawn yet. */
  public static Identity named(String name, String notes) {
    return new Identity(name, Optional.empty(), Set.of(), notes);
  }

  /** The same bench under this id, its file at home there. */
  public Identity as(UUID known, Set<String> at) {
    return new Identity(name, Optional.of(known), at, notes);
  }
}
