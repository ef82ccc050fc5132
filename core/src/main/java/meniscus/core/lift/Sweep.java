package meniscus.core.lift;

import java.util.Locale;

/** From which side a rung is approached. */
public enum Sweep {
  OPENING,
  CLOSING,
  /** From below, with the air sent the other way than the plan's: a control, no part of a curve. */
  OTHER_WAY;

  /** True where the air goes as the plan says. */
  public boolean plansWay() {
    return this != OTHER_WAY;
  }

  public String word() {
    return name().toLowerCase(Locale.ROOT);
  }
}
