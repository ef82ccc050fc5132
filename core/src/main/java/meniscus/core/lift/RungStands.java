package meniscus.core.lift;

import java.util.Objects;
import meniscus.core.refusal.Refusal;

/**
 * How a rung of the ladder stands.
 *
 * @param how open, left empty, or kept
 * @param attempt which of its values stands, when it is kept; 0 else
 */
public record RungStands(How how, int attempt) {

  public static final RungStands OPEN = new RungStands(How.OPEN, 0);
  public static final RungStands SKIPPED = new RungStands(How.SKIPPED, 0);

  /** The ways to stand. */
  public enum How {
    OPEN,
    SKIPPED,
    KEPT
  }

  public RungStands {
    Objects.requireNonNull(how);
    if (how == How.KEPT && attempt < 1) {
      throw new Refusal("attempts are counted from 1");
    }
  }

  public static RungStands kept(int attempt) {
    return new RungStands(How.KEPT, attempt);
  }
}
