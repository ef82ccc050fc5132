package meniscus.core.lift;

import meniscus.core.quantity.Value;

/** What people are told instead of a rung's number, which is the files' own. */
public final class LiftName {

  private LiftName() {}

  /**
   * {@code lift 0.450 in (6 of 12)}; {@code lift 0.600 in (confirming)} for what was added to the
   * plan's lifts during the test.
   *
   * @param number of the rung
   * @param liftM its lift [m]
   */
  public static String of(Plan plan, int number, double liftM) {
    int all = plan.ladder().size();
    return "lift "
        + Value.ofSi(liftM, plan.units().lift()).toString(3)
        + (number > all ? " (confirming)" : " (" + number + " of " + all + ")");
  }

  public static String of(Plan plan, Rung rung) {
    return of(plan, rung.number(), rung.liftM());
  }
}
