package meniscus.core.steadiness;

import meniscus.core.quantity.Worded;

/** What is said of a reading. */
public enum Verdict implements Worded {
  /** Settled; the mean and its uncertainty can be trusted. */
  STEADY,
  /** The level is still moving by more than the asked uncertainty. */
  DRIFTING,
  /** Fluctuates more than the bench itself does on a plate at this flow; healthy ports do. */
  ROUGH,
  /** Rougher than this port gives reason to expect: its neighbouring lifts, its earlier run. */
  UNSTEADY,
  /** Jumps between two or more levels. */
  SWITCHING,
  /** The instrument is at fault, not the air. */
  FAULTY,
  /** Too little data to say. */
  BRIEF,
  /** A person read drop or test pressure: a value, but nothing of the air's steadiness. */
  BY_EYE;

  /** The value can be trusted, within its interval: a healthy port is rougher than a plate. */
  public boolean sound() {
    return this == STEADY || this == ROUGH || this == UNSTEADY || this == BY_EYE;
  }
}
