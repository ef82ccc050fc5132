package meniscus.core.flow;

import java.util.Locale;

/** Which way the bench moves air through the port; not implied by intake or exhaust. */
public enum Direction {
  /** The bench draws: the port's upstream is the room, the plenum is below room pressure. */
  SUCTION,
  /** The bench blows: the port's upstream is the plenum, above room pressure. */
  BLOWING;

  /** The other way. */
  public Direction other() {
    return this == SUCTION ? BLOWING : SUCTION;
  }

  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
