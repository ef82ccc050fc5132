package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import meniscus.core.bench.Repeatability;
import meniscus.core.decide.Estimate;
import meniscus.core.decide.Estimate.Part;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution.Kind;
import org.hipparchus.distribution.continuous.FDistribution;

/**
 * What taking the head off and putting it back, and reading again, does to a flow: the part of a
 * difference that no calibration can cancel.
 *
 * <p>Known from the bench's stored repeatability, from repeats among the runs compared, or from
 * both pooled by their degrees of freedom. Where a run's own budget holds set-up errors larger than
 * the stored repeatability, the larger of the two counts, not their sum: the repeatability was
 * measured with those errors in it.
 *
 * @param before of one run of the before side, column by column; empty when nobody knows
 * @param after of one run of the after side
 * @param oneEstimate true when both sides' figures are one and the same estimate
 * @param told how it was found, in words
 */
record Scatter(List<OneRun> before, List<OneRun> after, boolean oneEstimate, String told) {

  /** Chance of a false alarm when sides, or today and the stored figure, are held together. */
  private static final double UNLIKE = 0.99;

  /**
   * Variances of one run in one column [m⁶/s²].
   *
   * @param between from run to run
   * @param within from reading to reading; zero when {@code between} holds it already
   */
  record OneRun(Part between, Part within) {}

  static Optional<Scatter> of(List<Run> before, List<Run> after) {
    boolean sameBench = before.get(0).test().bench().equals(after.get(0).test().bench());
    Optional<Deviations> both =
        sameBench ? Deviations.of(List.of(before, after)) : Optional.empty();
    Optional<Deviations> first = Deviations.of(List.of(before));
    Optional<Deviations> second = Deviations.of(List.of(after));
    boolean alike =
        first.isEmpty() || second.isEmpty() || !unlike(first.get(), second.get(), lifts(before));
    boolean pooled = sameBench && alike;
    Optional<Deviations> ofBefore = pooled ? both : first;
    Optional<Deviations> ofAfter = pooled ? both : second;
    Optional<List<OneRun>> left = side(before, ofBefore);
    Optional<List<OneRun>> right = side(after, ofAfter);
    if (left.isEmpty() || right.isEmpty()) {
      return Optional.empty();
    }
    boolean sameStored =
        before.get(0).test().repeatability().equals(after.get(0).test().repeatability());
    return Optional.of(
        new Scatter(
            left.get(), right.get(), pooled && sameStored, told(ofBefore, ofAfter, pooled)));
  }

  private static String told(
      Optional<Deviations> before, Optional<Deviations> after, boolean pooled) {
    if (before.isEmpty() && after.isEmpty()) {
      return "how well a head can be put back was taken from the bench's stored repeatability";
    }
    return pooled
        ? "how well a head can be put back was learned from the repeats, pooled over both sides and"
            + " over the lifts"
        : "how well a head can be put back was learned from the repeats of each side by itself";
  }

  private static double[] lifts(List<Run> side) {
    return side.get(0).lifts();
  }

  private static Optional<List<OneRun>> side(List<Run> side, Optional<Deviations> deviations) {
    Optional<Repeatability> stored = side.get(0).test().repeatability();
    if (deviations.isEmpty() && stored.isEmpty()) {
      return Optional.empty();
    }
    double[] lifts = lifts(side);
    double[] mean = Deviations.mean(side);
    Optional<ScatterProfile> profile = deviations.map(d -> d.profile(lifts));
    Optional<List<OneRun>> known = stored.map(r -> stored(side, mean, r));
    boolean storedHolds =
        known.isPresent() && (profile.isEmpty() || !beyond(profile.get(), known.get(), mean));
    List<OneRun> columns = new ArrayList<>();
    for (int c = 0; c < mean.length; c++) {
      if (profile.isEmpty()) {
        columns.add(known.get().get(c));
        continue;
      }
      boolean lift = c < lifts.length;
      double relative = lift ? profile.get().relativeVariances()[c] : deviations.get().variance(c);
      double degrees =
          lift ? profile.get().degreesOfFreedom()[c] : deviations.get().degreesOfFreedom();
      Part learned = new Part(relative * mean[c] * mean[c], degrees);
      columns.add(storedHolds ? pooled(learned, known.get().get(c)) : alone(learned));
    }
    return Optional.of(columns);
  }

  /**
   * Of one run by itself, column by column: from its bench's repeatability, else as its own budget
   * says.
   */
  static List<OneRun> ofRun(Run run) {
    List<Run> side = List.of(run);
    Optional<Repeatability> known = run.test().repeatability();
    if (known.isPresent()) {
      return stored(side, run.values(), known.get());
    }
    List<OneRun> columns = new ArrayList<>();
    for (int i = 0; i < run.columns(); i++) {
      Budget setUp = run.budget(i, Kind.SET_UP);
      double u = setUp.standardUncertainty();
      columns.add(new OneRun(new Part(u * u, setUp.effectiveDegreesOfFreedom()), within(side, i)));
    }
    return columns;
  }

  private static OneRun alone(Part learned) {
    return new OneRun(learned, new Part(0, Double.POSITIVE_INFINITY));
  }

  /** Weighted by degrees of freedom. */
  private static OneRun pooled(Part learned, OneRun stored) {
    double total = stored.between.variance() + stored.within.variance();
    double weight = Math.min(1e6, stored.between.degreesOfFreedom());
    double degrees = learned.degreesOfFreedom() + weight;
    return alone(
        new Part(
            (learned.variance() * learned.degreesOfFreedom() + total * weight) / degrees, degrees));
  }

  /** From the bench's repeatability and the run's own budget. */
  private static List<OneRun> stored(List<Run> side, double[] mean, Repeatability repeatability) {
    double[] lifts = lifts(side);
    double[] between = new double[lifts.length];
    List<OneRun> columns = new ArrayList<>();
    for (int i = 0; i < lifts.length; i++) {
      int column = i;
      double learned = repeatability.relativeStandardDeviation(lifts[i]) * mean[i];
      Budget largest =
          side.stream()
              .map(run -> run.budget(column, Kind.SET_UP))
              .max(Comparator.comparingDouble(Budget::standardUncertainty))
              .orElseThrow();
      double setUp = largest.standardUncertainty();
      between[i] = Math.max(learned, setUp);
      double degrees =
          setUp > learned ? largest.effectiveDegreesOfFreedom() : repeatability.degreesOfFreedom();
      columns.add(new OneRun(new Part(between[i] * between[i], degrees), within(side, i)));
    }
    double correlation =
        ScatterProfile.cautious(repeatability.correlation(), repeatability.degreesOfFreedom());
    double sum = 0;
    double squares = 0;
    for (double sd : between) {
      sum += sd;
      squares += sd * sd;
    }
    double ofMean =
        (correlation * sum * sum + (1 - correlation) * squares) / (lifts.length * lifts.length);
    columns.add(
        new OneRun(new Part(ofMean, repeatability.degreesOfFreedom()), within(side, lifts.length)));
    return columns;
  }

  /** Mean over the runs of their repeat variance. */
  private static Part within(List<Run> side, int column) {
    List<Part> parts =
        side.stream()
            .map(run -> run.budget(column, Kind.REPEAT))
            .map(
                b ->
                    new Part(
                        b.standardUncertainty() * b.standardUncertainty() / side.size(),
                        b.effectiveDegreesOfFreedom()))
            .toList();
    Estimate sum = Estimate.of(0, parts);
    return new Part(sum.standardUncertainty() * sum.standardUncertainty(), sum.degreesOfFreedom());
  }

  /** True when today's repeats scatter more than the stored figure allows. */
  private static boolean beyond(ScatterProfile today, List<OneRun> stored, double[] mean) {
    double ratio =
        IntStream.range(0, today.lifts().length)
            .mapToDouble(
                i ->
                    today.relativeVariances()[i]
                        * mean[i]
                        * mean[i]
                        / (stored.get(i).between.variance() + stored.get(i).within.variance()))
            .average()
            .orElse(1);
    return ratio > limit(today.degreesOfFreedom()[0], stored.get(0).between.degreesOfFreedom());
  }

  /** True when one side's repeats scatter more than the other's, whichever. */
  private static boolean unlike(Deviations first, Deviations second, double[] lifts) {
    ScatterProfile one = first.profile(lifts);
    ScatterProfile other = second.profile(lifts);
    double ratio =
        IntStream.range(0, lifts.length)
            .mapToDouble(i -> one.relativeVariances()[i] / other.relativeVariances()[i])
            .average()
            .orElse(1);
    double inverse =
        IntStream.range(0, lifts.length)
            .mapToDouble(i -> other.relativeVariances()[i] / one.relativeVariances()[i])
            .average()
            .orElse(1);
    return ratio > limit(one.degreesOfFreedom()[0], other.degreesOfFreedom()[0])
        || inverse > limit(other.degreesOfFreedom()[0], one.degreesOfFreedom()[0]);
  }

  private static double limit(double degrees, double otherDegrees) {
    return new FDistribution(Math.min(1e5, degrees), Math.min(1e5, otherDegrees))
        .inverseCumulativeProbability(UNLIKE);
  }

  /**
   * Variance parts of the difference of the sides' means in one column.
   *
   * @param furtherRuns of each side, among the runs, that are only imagined: they add degrees of
   *     freedom
   */
  List<Part> ofDifference(int column, int runsBefore, int runsAfter, int furtherRuns) {
    OneRun b = before.get(column);
    OneRun a = after.get(column);
    List<Part> parts = new ArrayList<>();
    if (oneEstimate) {
      parts.add(
          new Part(
              b.between.variance() / runsBefore + a.between.variance() / runsAfter,
              Math.min(b.between.degreesOfFreedom(), a.between.degreesOfFreedom())
                  + 2 * furtherRuns));
    } else {
      parts.add(
          new Part(b.between.variance() / runsBefore, b.between.degreesOfFreedom() + furtherRuns));
      parts.add(
          new Part(a.between.variance() / runsAfter, a.between.degreesOfFreedom() + furtherRuns));
    }
    parts.add(new Part(b.within.variance() / runsBefore, b.within.degreesOfFreedom()));
    parts.add(new Part(a.within.variance() / runsAfter, a.within.degreesOfFreedom()));
    return parts;
  }
}
