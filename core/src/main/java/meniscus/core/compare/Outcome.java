package meniscus.core.compare;

import java.util.Locale;

/** What is said of a difference. */
public enum Outcome {
  GAIN,
  LOSS,
  NO_REAL_CHANGE,
  CANNOT_TELL_YET;

  public String word() {
    return name().toLowerCase(Locale.ROOT).replace('_', ' ');
  }
}
