package meniscus.recorder.look;

import java.util.Locale;
import java.util.Objects;

/**
 * One thing that a dry run looked at.
 *
 * @param area what it belongs to
 * @param state how it stands
 * @param text what was found and, where it is not good, what to do
 */
public record Check(Area area, State state, String text) {

  /** What a dry run looks at, in this order. */
  public enum Area {
    FILES,
    SHEETS,
    CHANNELS,
    RANGES,
    PLAN,
    CALIBRATION,
    HEALTH,
    TIME;

    /** As shown: {@code files}. */
    public String word() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  /** How it stands. */
  public enum State {
    /** As it should be. */
    GOOD,
    /** The test can be taken; look at this first. */
    DOUBT,
    /** The test would fail on it. */
    FAULT;

    /** As shown: {@code good}. */
    public String word() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  public Check {
    Objects.requireNonNull(area);
    Objects.requireNonNull(state);
    Objects.requireNonNull(text);
  }
}
