package meniscus.core.compare;

/**
 * The difference at one lift.
 *
 * @param liftM as asked [m]
 * @param interpolated true when the after side was interpolated to this lift
 * @param difference after minus before
 */
public record LiftDifference(double liftM, boolean interpolated, Difference difference) {

  public Outcome outcome() {
    return difference.outcome();
  }
}
