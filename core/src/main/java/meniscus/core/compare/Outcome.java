package meniscus.core.compare;

import meniscus.core.quantity.Worded;

/** What is said of a difference. */
public enum Outcome implements Worded {
  GAIN,
  LOSS,
  NO_REAL_CHANGE,
  CANNOT_TELL_YET;
}
