package meniscus.recorder.folder;

import java.util.List;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.LoudTenth;
import meniscus.recorder.journal.Recovered;

/**
 * What the readings of a test come to.
 *
 * @param points by rung
 * @param loud the fast channel's levels over time, where there is one
 */
public record WorkedOut(List<LiftPoint> points, List<LoudTenth> loud) {
  public WorkedOut {
    points = List.copyOf(points);
    loud = List.copyOf(loud);
  }

  /** The points as they were kept: nothing is worked out again. */
  public static WorkedOut standing(Recovered test) {
    return new WorkedOut(test.standing(), List.of());
  }
}
