package meniscus.recorder.archive;

import java.time.Instant;
import java.util.Optional;

/**
 * One test of an archive.
 *
 * @param name path of its folder under the archive's, with {@code /} between folders
 * @param stamp changes whenever its folder does; empty when it is not to be remembered
 * @param known of a finished test; empty when it is unfinished or damaged
 * @param why what is wrong with it; empty when nothing is
 */
public record IndexEntry(String name, String stamp, Optional<TestSummary> known, String why) {

  static IndexEntry finished(String name, String stamp, TestSummary known) {
    return new IndexEntry(name, stamp, Optional.of(known), "");
  }

  /** Never remembered: it may have been mended from a copy. */
  static IndexEntry damaged(String name, String why) {
    return new IndexEntry(name, "", Optional.empty(), why);
  }

  static IndexEntry unfinished(String name) {
    return new IndexEntry(name, "", Optional.empty(), "");
  }

  /** {@code finished}, {@code unfinished} or {@code damaged}. */
  public String stands() {
    if (known.isPresent()) {
      return "finished";
    }
    return why.isEmpty() ? "unfinished" : "damaged";
  }

  /** When it began; long ago when nobody knows. */
  Instant at() {
    return known.map(TestSummary::at).orElse(Instant.MIN);
  }
}
