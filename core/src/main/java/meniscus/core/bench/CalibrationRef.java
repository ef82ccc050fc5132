package meniscus.core.bench;

import java.time.Instant;
import java.util.Objects;
import meniscus.core.flow.Direction;
import meniscus.core.refusal.Refusal;

/**
 * A calibration that the bench has had; its file is named by the hash of its bytes and never
 * rewritten.
 *
 * @param direction it holds for
 * @param range name of the range it holds for
 * @param sha256 of the file's bytes, 64 lower-case hexadecimal digits
 * @param at when it was taken; the newest of a direction and range that is in use is the current
 *     one
 * @param standing whether it is in use, and why it is or is not
 */
public record CalibrationRef(
    Direction direction, String range, String sha256, Instant at, Standing standing) {

  /**
   * Whether a calibration is used.
   *
   * @param inUse false for one that is kept, but that nothing makes consistent
   * @param why it is not used, or why somebody wants it used all the same; empty for one that is
   *     simply in order
   */
  public record Standing(boolean inUse, String why) {

    /** In order, and used. */
    public static final Standing IN_ORDER = new Standing(true, "");

    public Standing {
      if (!inUse && why.isBlank()) {
        throw new Refusal("a calibration that is not used needs the reason why");
      }
    }

    /** True when somebody uses it against the program's advice. */
    public boolean againstAdvice() {
      return inUse && !why.isEmpty();
    }
  }

  /** One that is in order. */
  public CalibrationRef(Direction direction, String range, String sha256, Instant at) {
    this(direction, range, sha256, at, Standing.IN_ORDER);
  }

  /** The same, used or not. */
  public CalibrationRef standing(Standing other) {
    return new CalibrationRef(direction, range, sha256, at, other);
  }

  public CalibrationRef {
    Objects.requireNonNull(standing);
    Objects.requireNonNull(direction);
    Objects.requireNonNull(range);
    Objects.requireNonNull(at);
    Sha256.check(sha256);
  }
}
