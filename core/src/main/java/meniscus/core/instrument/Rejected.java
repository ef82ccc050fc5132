package meniscus.core.instrument;

import java.util.Objects;
import meniscus.core.time.Moment;

/**
 * Bytes that made no reading. Bad bytes are data: they are kept and counted.
 *
 * @param at moment of the chunk in which they were given up
 * @param bytes as harmless text, see {@link Printable}
 * @param reason what was wrong, in plain words
 */
public record Rejected(Moment at, String bytes, String reason) {
  public Rejected {
    Objects.requireNonNull(at);
    Objects.requireNonNull(bytes);
    Objects.requireNonNull(reason);
  }
}
