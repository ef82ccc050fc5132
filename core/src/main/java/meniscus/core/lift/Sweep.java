package meniscus.core.lift;

import java.util.Locale;

/** From which side a rung is approached. */
public enum Sweep {
  OPENING,
  CLOSING;

  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
