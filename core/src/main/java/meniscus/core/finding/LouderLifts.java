package meniscus.core.finding;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.decide.Estimate;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestCurve;
import meniscus.core.steadiness.Band;

/**
 * Where a fast channel is louder than the same port gives reason to expect, band by band.
 *
 * <p>A pressure that air makes by itself goes with its velocity head, so levels are held against
 * the flow squared: what is compared is the logarithm of level over flow². The test is the one of
 * {@link UnsteadyLifts}: half as much again or more, and a chance of 1 % of a false word over the
 * three bands together (Bonferroni).
 *
 * @param band that is louder
 * @param times how many times
 */
public record LouderLifts(Band band, double times) {

  private static final int NEIGHBOURS_BELOW = 2; // one alone may be odd: our own choice

  /** Bands in which some lifts, taken together, are louder than the nearest two below them. */
  public static List<LouderLifts> thanBelow(TestCurve test, List<Double> liftsM) {
    double from = liftsM.stream().mapToDouble(Double::doubleValue).min().orElse(0);
    return bands(
        band -> {
          List<Estimate> here = new ArrayList<>();
          List<Estimate> below = new ArrayList<>();
          for (LiftPoint point : test.curve()) {
            Optional<Estimate> level = level(point, band);
            if (level.isPresent() && among(point, liftsM)) {
              here.add(level.get());
            } else if (level.isPresent() && point.liftM() < from) {
              below.add(level.get());
            }
          }
          List<Estimate> near =
              below.subList(Math.max(0, below.size() - NEIGHBOURS_BELOW), below.size());
          return here.isEmpty() || near.size() < NEIGHBOURS_BELOW
              ? Optional.empty()
              : Optional.of(minus(mean(here), mean(near)));
        });
  }

  /**
   * Bands in which some lifts, taken together, became louder from an earlier run to a later one.
   */
  public static List<LouderLifts> together(
      TestCurve earlier, TestCurve later, List<Double> liftsM) {
    return bands(
        band -> {
          List<Estimate> rises = new ArrayList<>();
          for (LiftPoint now : later.curve()) {
            for (LiftPoint then : earlier.curve()) {
              if (among(now, liftsM)
                  && Math.abs(now.liftM() - then.liftM()) < TestCurve.SAME_LIFT_M) {
                Optional<Estimate> level = level(now, band);
                level(then, band)
                    .ifPresent(was -> level.ifPresent(is -> rises.add(minus(is, was))));
              }
            }
          }
          return rises.isEmpty() ? Optional.empty() : Optional.of(mean(rises));
        });
  }

  private interface Rise {
    Optional<Estimate> in(Band band);
  }

  private static List<LouderLifts> bands(Rise rise) {
    List<LouderLifts> louder = new ArrayList<>();
    double falseAlarm = UnsteadyLifts.FALSE_ALARM / Band.values().length;
    for (Band band : Band.values()) {
      rise.in(band)
          .filter(r -> r.value() >= UnsteadyLifts.WORTH_NAMING)
          .filter(r -> r.pOfZeroOrBelow() <= falseAlarm)
          .ifPresent(r -> louder.add(new LouderLifts(band, Math.exp(r.value()))));
    }
    return louder;
  }

  private static boolean among(LiftPoint point, List<Double> liftsM) {
    return liftsM.stream().anyMatch(l -> Math.abs(l - point.liftM()) < TestCurve.SAME_LIFT_M);
  }

  /** Logarithm of level over flow squared. */
  private static Optional<Estimate> level(LiftPoint point, Band band) {
    return point
        .beside(band.word())
        .filter(level -> level.value() > 0 && level.u95().isPresent() && point.flowM3PerS() > 0)
        .map(
            level ->
                new Estimate(
                    Math.log(level.value()) - 2 * Math.log(point.flowM3PerS()),
                    Math.hypot(
                        UnsteadyLifts.SIZE_SCATTER, level.standardUncertainty() / level.value()),
                    Double.POSITIVE_INFINITY));
  }

  private static Estimate minus(Estimate one, Estimate other) {
    return new Estimate(
        one.value() - other.value(),
        Math.hypot(one.standardUncertainty(), other.standardUncertainty()),
        Double.POSITIVE_INFINITY);
  }

  private static Estimate mean(List<Estimate> all) {
    double squares =
        all.stream().mapToDouble(e -> e.standardUncertainty() * e.standardUncertainty()).sum();
    return new Estimate(
        all.stream().mapToDouble(Estimate::value).average().orElseThrow(),
        Math.sqrt(squares) / all.size(),
        Double.POSITIVE_INFINITY);
  }

  /** For people: {@code 2.3 times in 100 to 500 Hz}. */
  static String told(List<LouderLifts> louder) {
    return String.join(
        ", ",
        Stream.of(louder.toArray(LouderLifts[]::new))
            .map(l -> InUnits.number(l.times, 1) + " times in " + l.band.words())
            .toList());
  }
}
