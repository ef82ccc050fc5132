package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import meniscus.core.bench.Repeatability;
import meniscus.core.lift.TestCurve;
import meniscus.core.refusal.Refusal;
import meniscus.core.uncertainty.Contribution.Kind;

/**
 * A bench's repeatability from tests of one unchanged head that was taken off and put back between
 * them.
 *
 * <p>The scatter within a run is taken out: a comparison adds that of its own runs again. What is
 * left is at least a third of the scatter seen, since few repeats cannot show that there is none.
 */
public final class LearnedRepeatability {

  private static final double LEAST_SHARE = 1.0 / 9; // a third, squared

  private LearnedRepeatability() {}

  /**
   * @param repeats of one head, two or more, with lifts in common
   * @return relative standard deviations at the common lifts, the degrees of freedom that the
   *     weakest of them has
   */
  public static Repeatability of(List<TestCurve> repeats) {
    if (repeats.size() < 2) {
      throw new Refusal(
          "repeatability is learned from two runs or more of one head, taken off and put back"
              + " between them");
    }
    CommonLifts common =
        CommonLifts.of(
            repeats.subList(0, 1), repeats.subList(1, repeats.size()), true, Question.PLAIN);
    List<Run> runs = new ArrayList<>(common.before());
    runs.addAll(common.after());
    Deviations deviations = Deviations.of(List.of(runs)).orElseThrow();
    ScatterProfile profile = deviations.profile(common.lifts());
    double[] mean = Deviations.mean(runs);
    List<Repeatability.Node> nodes = new ArrayList<>();
    for (int i = 0; i < common.lifts().length; i++) {
      int column = i;
      double within =
          runs.stream()
              .mapToDouble(
                  run -> run.budget(column, Kind.REPEAT).standardUncertainty() / mean[column])
              .map(u -> u * u)
              .average()
              .orElseThrow();
      double seen = profile.relativeVariances()[i];
      double between = Math.max(seen - within, LEAST_SHARE * seen);
      nodes.add(new Repeatability.Node(common.lifts()[i], Math.sqrt(between)));
    }
    return new Repeatability(
        nodes,
        profile.correlation(),
        Arrays.stream(profile.degreesOfFreedom()).min().orElseThrow());
  }
}
