package meniscus.core.compare;

import meniscus.core.quantity.Worded;

/** What a change did, all lifts and their average taken together. */
public enum Overall implements Worded {
  LOST,
  GAINED_AND_LOST,
  CANNOT_TELL_YET,
  NO_REAL_CHANGE,
  GAINED;

  public static Overall of(Comparison comparison) {
    boolean gained = has(comparison, Outcome.GAIN);
    boolean lost = has(comparison, Outcome.LOSS);
    if (gained || lost) {
      return gained && lost ? GAINED_AND_LOST : gained ? GAINED : LOST;
    }
    return has(comparison, Outcome.CANNOT_TELL_YET) ? CANNOT_TELL_YET : NO_REAL_CHANGE;
  }

  private static boolean has(Comparison comparison, Outcome outcome) {
    return comparison.mean().outcome() == outcome || !comparison.lifts(outcome).isEmpty();
  }
}
