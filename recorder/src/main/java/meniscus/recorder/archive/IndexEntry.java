package meniscus.recorder.archive;

import java.time.Instant;
import java.time.ZoneOffset;
import java.util.Optional;
import meniscus.recorder.folder.TypedFolder;

/**
 * One test of an archive.
 *
 * @param name path of its folder under the archive's, with {@code /} between folders
 * @param stamp changes whenever its folder does; empty when it is not to be remembered
 * @param known of a finished test; empty when it is unfinished or damaged
 * @param why what is wrong with it; empty when nothing is
 * @param typed a curve from elsewhere in its place: no test
 */
public record IndexEntry(
    String name,
    String stamp,
    Optional<TestSummary> known,
    String why,
    Optional<TypedFolder> typed) {

  static IndexEntry finished(String name, String stamp, TestSummary known) {
    return new IndexEntry(name, stamp, Optional.of(known), "", Optional.empty());
  }

  /** Never remembered: it may have been mended from a copy. */
  static IndexEntry damaged(String name, String why) {
    return new IndexEntry(name, "", Optional.empty(), why, Optional.empty());
  }

  static IndexEntry unfinished(String name) {
    return new IndexEntry(name, "", Optional.empty(), "", Optional.empty());
  }

  /** Not remembered: it is small, and may be changed by hand. */
  static IndexEntry typed(String name, TypedFolder typed) {
    return new IndexEntry(name, "", Optional.empty(), "", Optional.of(typed));
  }

  /** {@code finished}, {@code unfinished}, {@code damaged} or {@code typed}. */
  public String stands() {
    if (typed.isPresent()) {
      return "typed";
    }
    if (known.isPresent()) {
      return "finished";
    }
    return why.isEmpty() ? "unfinished" : "damaged";
  }

  /** When it began; long ago when nobody knows. */
  Instant at() {
    if (known.isPresent()) {
      return known.get().at();
    }
    return typed
        .flatMap(one -> one.typed().on())
        .map(day -> day.atStartOfDay(ZoneOffset.UTC).toInstant())
        .orElse(Instant.MIN);
  }
}
