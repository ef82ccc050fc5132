package meniscus.core.bench;

import java.time.Instant;
import java.util.Objects;
import meniscus.core.flow.Direction;

/**
 * A calibration that the bench has had; its file is named by the hash of its bytes and never
 * rewritten.
 *
 * @param direction it holds for
 * @param range name of the range it holds for
 * @param sha256 of the file's bytes, 64 lower-case hexadecimal digits
 * @param at when it was taken; the newest of a direction and range is the current one
 */
public record CalibrationRef(Direction direction, String range, String sha256, Instant at) {
  public CalibrationRef {
    Objects.requireNonNull(direction);
    Objects.requireNonNull(range);
    Objects.requireNonNull(at);
    Sha256.check(sha256);
  }
}
