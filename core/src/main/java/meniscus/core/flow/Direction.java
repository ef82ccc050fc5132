package meniscus.core.flow;

import meniscus.core.quantity.Coded;

/** Which way the bench moves air through the port; not implied by intake or exhaust. */
public enum Direction implements Coded {
  /** The bench draws: the port's upstream is the room, the plenum is below room pressure. */
  SUCTION,
  /** The bench blows: the port's upstream is the plenum, above room pressure. */
  BLOWING;

  /** The other way. */
  public Direction other() {
    return this == SUCTION ? BLOWING : SUCTION;
  }
}
