package meniscus.core.compare;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import java.util.stream.Stream;
import meniscus.core.compare.History.State;
import meniscus.core.finding.Finding;
import meniscus.core.finding.SweepDifference;
import meniscus.core.finding.Turnover;
import meniscus.core.finding.UnsteadyLifts;
import meniscus.core.lift.TestCurve;

/**
 * A finding that tests show by themselves, followed over the changes of a port.
 *
 * @param kind turnover, sweep difference or unsteadiness
 * @param stages from the first state that shows it on
 */
public record FindingThread(Finding.Kind kind, List<Stage> stages) {

  /**
   * @param liftsM where any test of the state shows it [m]; empty where none does, which is no
   *     proof that it is gone
   */
  public record Stage(State state, List<Double> liftsM, boolean found) {
    public Stage {
      liftsM = List.copyOf(liftsM);
    }
  }

  public FindingThread {
    stages = List.copyOf(stages);
  }

  public static List<FindingThread> of(History history) {
    Map<Finding.Kind, List<Stage>> threads = new EnumMap<>(Finding.Kind.class);
    for (State state : history.states()) {
      Map<Finding.Kind, TreeSet<Double>> here = new EnumMap<>(Finding.Kind.class);
      state.tests().stream()
          .flatMap(FindingThread::shown)
          .forEach(
              finding ->
                  here.computeIfAbsent(finding.kind(), kind -> new TreeSet<>())
                      .addAll(finding.liftsM()));
      here.keySet().forEach(kind -> threads.computeIfAbsent(kind, k -> new ArrayList<>()));
      threads.forEach(
          (kind, stages) ->
              stages.add(
                  new Stage(
                      state,
                      List.copyOf(here.getOrDefault(kind, new TreeSet<>())),
                      here.containsKey(kind))));
    }
    return threads.entrySet().stream()
        .map(thread -> new FindingThread(thread.getKey(), thread.getValue()))
        .toList();
  }

  private static Stream<Finding> shown(TestCurve test) {
    return Stream.of(
            Turnover.in(test).map(found -> found.finding(test)),
            SweepDifference.in(test).map(found -> found.finding(test)),
            UnsteadyLifts.finding(test))
        .flatMap(Optional::stream);
  }
}
