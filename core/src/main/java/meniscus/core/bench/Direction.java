package meniscus.core.bench;

import java.util.Locale;

/**
 * Which way the bench moves the air through the port. Not implied by intake or exhaust: both can be
 * tested either way.
 */
public enum Direction {
  /** The bench draws: the plenum is below room pressure. */
  SUCTION,
  /** The bench blows: the plenum is above room pressure. */
  BLOWING;

  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
