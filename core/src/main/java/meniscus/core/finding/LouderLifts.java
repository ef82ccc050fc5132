package meniscus.core.finding;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.decide.Estimate;
import meniscus.core.lift.Beside;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.TestCurve;
import meniscus.core.steadiness.Band;

/**
 * Where a fast channel is louder than the same port gives reason to expect, band by band.
 *
 * <p>A pressure that air makes by itself goes with its velocity head, so levels are held against
 * the flow squared: what is compared is the logarithm of level over flow². Where the flow is less
 * that alone would make a blower or a room louder that is as loud as before, so there the level
 * itself must have risen. Where the calm record tells how loud a channel that stays on the bench is
 * with a plate of such a flow in the port's place, so must what it is over that, and the port must
 * be louder than the plate at all. That it is louder than a plate says nothing by itself: ports
 * are. The test is the one of {@link UnsteadyLifts}: half as much again or more, and a chance of 1
 * % of a false word over the three bands together (Bonferroni).
 *
 * @param band that is louder
 * @param times how many times
 * @param overPlates level over that of the plates, as a logarithm; empty where no plate tells
 */
public record LouderLifts(Band band, double times, Optional<Double> overPlates) {

  private static final int NEIGHBOURS_BELOW = 2; // one alone may be odd: our own choice

  /** In one band: the three share the chance (Bonferroni). */
  private static final double FALSE_ALARM = UnsteadyLifts.FALSE_ALARM / Band.values().length;

  /** Bands in which some lifts, taken together, are louder than the nearest two below them. */
  public static List<LouderLifts> thanBelow(TestCurve test, List<Double> liftsM) {
    double from = liftsM.stream().mapToDouble(Double::doubleValue).min().orElse(0);
    List<LiftPoint> here = new ArrayList<>();
    List<LiftPoint> below = new ArrayList<>();
    for (LiftPoint point : test.curve()) {
      if (Lifts.among(liftsM, point.liftM())) {
        here.add(point);
      } else if (point.liftM() < from) {
        below.add(point);
      }
    }
    return bands(
        here,
        level -> {
          List<Estimate> now = level.of(here);
          List<Estimate> all = level.of(below);
          List<Estimate> near = all.subList(Math.max(0, all.size() - NEIGHBOURS_BELOW), all.size());
          return now.isEmpty() || near.size() < NEIGHBOURS_BELOW
              ? Optional.empty()
              : Optional.of(minus(mean(now), mean(near)));
        });
  }

  /**
   * Bands in which some lifts, taken together, became louder from an earlier run to a later one.
   */
  public static List<LouderLifts> together(
      TestCurve earlier, TestCurve later, List<Double> liftsM) {
    List<LiftPoint> here =
        later.curve().stream().filter(point -> Lifts.among(liftsM, point.liftM())).toList();
    return bands(
        here,
        level -> {
          List<Estimate> rises = new ArrayList<>();
          for (LiftPoint now : here) {
            for (LiftPoint then : earlier.curve()) {
              if (Lifts.same(now.liftM(), then.liftM())) {
                Optional<Estimate> is = level.of(now);
                level.of(then).ifPresent(was -> is.ifPresent(one -> rises.add(minus(one, was))));
              }
            }
          }
          return rises.isEmpty() ? Optional.empty() : Optional.of(mean(rises));
        });
  }

  /** How much more of some kind of level there is at the lost lifts. */
  private interface Rise {
    Optional<Estimate> of(Level level);
  }

  /** A kind of level, as a logarithm. */
  private interface Level {
    Optional<Estimate> of(LiftPoint point);

    default List<Estimate> of(List<LiftPoint> points) {
      return points.stream().flatMap(point -> of(point).stream()).toList();
    }
  }

  private static List<LouderLifts> bands(List<LiftPoint> lost, Rise rise) {
    List<LouderLifts> louder = new ArrayList<>();
    for (Band band : Band.values()) {
      Level itself = point -> level(point, band);
      Level overFlow = point -> level(point, band).map(one -> less(one, 2 * Math.log(flow(point))));
      Level overPlates = point -> overPlates(point, band);
      Optional<Estimate> above = above(lost, band);
      Stream.of(rise.of(overFlow), rise.of(itself), rise.of(overPlates))
          .flatMap(Optional::stream)
          .min(Comparator.comparingDouble(Estimate::value))
          .filter(r -> r.value() >= UnsteadyLifts.WORTH_NAMING)
          .filter(r -> r.pOfZeroOrBelow() <= FALSE_ALARM)
          .filter(r -> above.isEmpty() || above.get().pOfZeroOrBelow() <= FALSE_ALARM)
          .ifPresent(
              r ->
                  louder.add(
                      new LouderLifts(band, Math.exp(r.value()), above.map(Estimate::value))));
    }
    return louder;
  }

  private static double flow(LiftPoint point) {
    return point.flowM3PerS();
  }

  /** Logarithm of a level. */
  private static Optional<Estimate> level(LiftPoint point, Band band) {
    return point
        .beside(band.word())
        .filter(level -> level.value() > 0 && level.u95().isPresent() && flow(point) > 0)
        .map(
            level ->
                new Estimate(
                    Math.log(level.value()),
                    Math.hypot(
                        UnsteadyLifts.SIZE_SCATTER, level.standardUncertainty() / level.value()),
                    Double.POSITIVE_INFINITY));
  }

  /**
   * Logarithm of a level over that of the plates. What is not known of the plates is the same on
   * both sides of a comparison, so it is left out.
   */
  private static Optional<Estimate> overPlates(LiftPoint point, Band band) {
    return point
        .beside(band.wordOnPlates())
        .filter(plates -> plates.value() > 0)
        .flatMap(plates -> level(point, band).map(here -> less(here, Math.log(plates.value()))));
  }

  /** How far some lifts, taken together, are above the plates, with all doubt about those. */
  private static Optional<Estimate> above(List<LiftPoint> lifts, Band band) {
    List<Estimate> above = new ArrayList<>();
    double doubt = 0;
    for (LiftPoint point : lifts) {
      Optional<Estimate> one = overPlates(point, band);
      if (one.isPresent()) {
        Beside plates = point.beside(band.wordOnPlates()).orElseThrow();
        above.add(one.get());
        doubt = Math.max(doubt, plates.standardUncertainty() / plates.value());
      }
    }
    if (above.isEmpty()) {
      return Optional.empty();
    }
    Estimate mean = mean(above);
    return Optional.of(
        new Estimate(
            mean.value(), Math.hypot(mean.standardUncertainty(), doubt), mean.degreesOfFreedom()));
  }

  private static Estimate less(Estimate one, double by) {
    return new Estimate(one.value() - by, one.standardUncertainty(), one.degreesOfFreedom());
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
            .map(l -> InUnits.number(l.times, 1) + " times in " + l.band.words() + l.abovePlates())
            .toList());
  }

  private String abovePlates() {
    return overPlates.isPresent()
        ? " (" + InUnits.number(Band.DECIBEL * overPlates.get(), 0) + " dB above a plate)"
        : "";
  }
}
