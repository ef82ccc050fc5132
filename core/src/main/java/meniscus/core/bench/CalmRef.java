package meniscus.core.bench;

import java.time.Instant;
import java.util.Objects;

/**
 * The calm record that readings of this bench are judged against.
 *
 * @param folder beside the bench file
 * @param sha256 of the folder's {@code calm.json}, 64 lower-case hexadecimal digits
 * @param at when it was taken
 */
public record CalmRef(String folder, String sha256, Instant at) {
  public CalmRef {
    Objects.requireNonNull(folder);
    Objects.requireNonNull(at);
    Sha256.check(sha256);
  }
}
