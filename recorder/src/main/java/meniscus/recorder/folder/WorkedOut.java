package meniscus.recorder.folder;

import java.util.Collections;
import java.util.List;
import java.util.SortedMap;
import java.util.TreeMap;
import meniscus.core.bench.PointMeans;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.LoudTenth;
import meniscus.recorder.journal.Recovered;

/**
 * What the readings of a test come to.
 *
 * @param points by rung
 * @param loud the fast channel's levels over time, where there is one
 * @param readings of a plate by rung, as a calibration takes them; none of a port
 */
public record WorkedOut(
    List<LiftPoint> points, List<LoudTenth> loud, SortedMap<Integer, PointMeans> readings) {
  public WorkedOut {
    points = List.copyOf(points);
    loud = List.copyOf(loud);
    readings = Collections.unmodifiableSortedMap(new TreeMap<>(readings));
  }

  /** Of a port. */
  public WorkedOut(List<LiftPoint> points, List<LoudTenth> loud) {
    this(points, loud, Collections.emptySortedMap());
  }

  /** The points as they were kept: nothing is worked out again. */
  public static WorkedOut standing(Recovered test) {
    return new WorkedOut(test.standing(), List.of());
  }
}
