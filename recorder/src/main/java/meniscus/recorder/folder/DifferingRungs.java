package meniscus.recorder.folder;

import java.io.IOException;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.SortedSet;
import java.util.TreeSet;
import java.util.stream.Collectors;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.LoudTenth;

/** Holds what a test comes to when it is worked out again against what its folder says. */
public final class DifferingRungs {

  private final TestFolder test;
  private final SortedSet<Integer> differing = new TreeSet<>();

  private DifferingRungs(TestFolder test) {
    this.test = test;
  }

  /**
   * Which rungs would be printed differently, in any digit.
   *
   * @param again for example worked out again from the samples
   */
  public static List<Integer> of(TestFolder test, WorkedOut again) throws IOException {
    DifferingRungs rungs = new DifferingRungs(test);
    rungs.points(again.points());
    if (test.has(LoudTable.FILE)) {
      rungs.unlike(byRung(test.loud()), byRung(again.loud()));
    }
    rungs.unlike(test.readings(), again.readings());
    return List.copyOf(rungs.differing);
  }

  /** Those of another set of points alone. */
  static List<Integer> of(TestFolder test, List<LiftPoint> others) throws IOException {
    DifferingRungs rungs = new DifferingRungs(test);
    rungs.points(others);
    return List.copyOf(rungs.differing);
  }

  private void points(List<LiftPoint> others) throws IOException {
    Set<String> passedOver = test.verdictsByOtherRules() ? PointsTable.OF_THE_VERDICT : Set.of();
    Anchors anchors = test.anchors();
    PointsTable table = new PointsTable(test.units());
    Map<Integer, List<String>> rows = new HashMap<>();
    others.forEach(p -> rows.put(p.rung(), table.row(p, anchors.of(p.taken().segment()))));
    test.eachPoint(
        table.askedColumns(),
        row -> {
          int rung = PointsTable.whole(row, "rung");
          List<String> other = rows.remove(rung);
          if (other == null
              || !row.sameAs(other.subList(0, Math.min(other.size(), row.size())), passedOver)) {
            differing.add(rung);
          }
        });
    differing.addAll(rows.keySet());
    if (test.has(BesideTable.FILE)) {
      var written = test.besides();
      others.stream()
          .filter(point -> !written.getOrDefault(point.rung(), List.of()).equals(point.beside()))
          .forEach(point -> differing.add(point.rung()));
    }
  }

  private <T> void unlike(Map<Integer, T> written, Map<Integer, T> again) {
    SortedSet<Integer> rungs = new TreeSet<>(written.keySet());
    rungs.addAll(again.keySet());
    rungs.removeIf(rung -> Objects.equals(written.get(rung), again.get(rung)));
    differing.addAll(rungs);
  }

  private static Map<Integer, List<LoudTenth>> byRung(List<LoudTenth> series) {
    return series.stream().collect(Collectors.groupingBy(LoudTenth::rung));
  }
}
