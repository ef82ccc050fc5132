package meniscus.core.compare;

import java.util.List;
import java.util.Optional;
import meniscus.core.lift.TestCurve;

/**
 * Flow of a port at a lift, as all comparisons take it: moved from the lift that was read to the
 * lift that was asked, the mean over the port's tests.
 *
 * @param flowM3PerS [m³/s]
 * @param halfM3PerS largest 95 % half-width of the tests' points there; of the flow itself, half a
 *     percent, where none is known [m³/s]
 */
public record FlowAtLift(double flowM3PerS, double halfM3PerS) {

  private static final double UNKNOWN = 0.005; // our own choice: only digits are shown by it

  /**
   * @param reference test whose reference conditions the flow is given for
   * @return empty where no test has a trusted point at the lift
   */
  public static Optional<FlowAtLift> of(List<TestCurve> tests, double liftM, TestCurve reference) {
    double sum = 0;
    double half = 0;
    int count = 0;
    for (TestCurve test : tests) {
      double scale = CommonLifts.toReference(test, reference);
      Optional<RunCurve.At> at = RunCurve.of(test, 0, scale, false).measuredAt(liftM);
      if (at.isPresent()) {
        sum += at.get().flow();
        half = Math.max(half, scale * test.at(liftM).orElseThrow().flowU95().orElse(0));
        count++;
      }
    }
    return count == 0
        ? Optional.empty()
        : Optional.of(new FlowAtLift(sum / count, half > 0 ? half : UNKNOWN * sum / count));
  }
}
