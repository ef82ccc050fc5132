package meniscus.core.lift;

import java.util.List;

/** When two lifts [m] are one and the same rung's. */
public final class Lifts {

  /** Our own choice: no ladder has finer steps than a hundredth of a millimetre [m]. */
  private static final double SAME_M = 1e-5;

  private Lifts() {}

  public static boolean same(double oneM, double otherM) {
    return Math.abs(oneM - otherM) < SAME_M;
  }

  /** True when it is not the same lift, but a lower one. */
  public static boolean isBelow(double liftM, double higherM) {
    return liftM < higherM - SAME_M;
  }

  public static boolean among(List<Double> liftsM, double liftM) {
    return liftsM.stream().anyMatch(each -> same(each, liftM));
  }

  /** One number for all that are the same lift, rising with it. */
  public static long step(double liftM) {
    return Math.round(liftM / SAME_M);
  }

  /** The lift of a {@link #step} [m]. */
  public static double ofStep(long step) {
    return step * SAME_M;
  }
}
