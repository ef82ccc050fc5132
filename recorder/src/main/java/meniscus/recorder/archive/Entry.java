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
public record Entry(String name, String stamp, Optional<Known> known, String why) {

  static Entry finished(String name, String stamp, Known known) {
    return new Entry(name, stamp, Optional.of(known), "");
  }

  /** Never remembered: it may have been mended from a copy. */
  static Entry damaged(String name, String why) {
    return new Entry(name, "", Optional.empty(), why);
  }

  static Entry unfinished(String name) {
    return new Entry(name, "", Optional.empty(), "");
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
    return known.map(Known::at).orElse(Instant.MIN);
  }
}
