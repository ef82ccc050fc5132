package meniscus.recorder.look;

import java.util.Objects;
import meniscus.core.quantity.Coded;

/**
 * One thing that a dry run looked at.
 *
 * @param area what it belongs to
 * @param state how it stands
 * @param text what was found and, where it is not good, what to do
 */
public record Check(Area area, State state, String text) {

  /** What a dry run looks at, in this order. */
  public enum Area implements Coded {
    FILES,
    SHEETS,
    CHANNELS,
    RANGES,
    PLAN,
    CALIBRATION,
    HEALTH,
    TIME;
  }

  /** How it stands. */
  public enum State implements Coded {
    /** As it should be. */
    GOOD,
    /** The test can be taken; look at this first. */
    DOUBT,
    /** The test would fail on it. */
    FAULT;
  }

  public Check {
    Objects.requireNonNull(area);
    Objects.requireNonNull(state);
    Objects.requireNonNull(text);
  }
}
