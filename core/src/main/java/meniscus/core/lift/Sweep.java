package meniscus.core.lift;

import meniscus.core.quantity.Coded;

/** From which side a rung is approached. */
public enum Sweep implements Coded {
  OPENING,
  CLOSING,
  /** From below, with the air sent the other way than the plan's: a control, no part of a curve. */
  OTHER_WAY;

  /** True where the air goes as the plan says. */
  public boolean plansWay() {
    return this != OTHER_WAY;
  }
}
