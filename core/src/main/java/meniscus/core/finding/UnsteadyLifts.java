package meniscus.core.finding;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.decide.Estimate;
import meniscus.core.decide.Holm;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.steadiness.Verdict;

/**
 * Unsteadiness along the lifts: against the neighbouring lifts of the same test, and against an
 * earlier run of the same port.
 *
 * <p>Compared as the logarithm of the ratio. A fluctuation seen through n independent readings is
 * known to about 1/√(2n) (exact for normal noise; n for the mean is fewer than n for a fluctuation,
 * so this is wide). A rise is named when it stands out under Holm at 1 % and is half as much again
 * or more: less is nothing to act on (a choice of ours).
 */
public final class UnsteadyLifts {

  /** Chance of a false rise in a test. */
  public static final double FALSE_ALARM = 0.01;

  static final double WORTH_NAMING = Math.log(1.5); // half as rough again: our own choice

  private static final double ONE_SIDED_95 = 1.645; // 95 % point of the normal distribution

  /** Lifts below that others are held against: one alone may be the odd one. */
  private static final int NEIGHBOURS_BELOW = 2;

  /**
   * From reading to reading the size of a fluctuation scatters by this much more than its finite
   * length explains (our own choice, after 6 % seen from run to run on simulated calm records).
   */
  static final double SIZE_SCATTER = 0.06;

  private UnsteadyLifts() {}

  /** Lifts at which the flow jumped between levels. */
  public static List<Double> switching(TestCurve test) {
    return test.curve().stream()
        .filter(point -> point.verdict() == Verdict.SWITCHING)
        .map(LiftPoint::liftM)
        .toList();
  }

  /** Lifts at which the air became rougher from the earlier run to the later one. */
  public static List<Double> risen(TestCurve earlier, TestCurve later) {
    List<Double> lifts = new ArrayList<>();
    List<Estimate> rises = new ArrayList<>();
    for (LiftPoint now : later.curve()) {
      for (LiftPoint then : earlier.curve()) {
        if (Lifts.same(now.liftM(), then.liftM())
            && now.unsteadiness().isPresent()
            && then.unsteadiness().isPresent()) {
          lifts.add(now.liftM());
          rises.add(rise(then, now));
        }
      }
    }
    return standingOut(lifts, rises);
  }

  /** How much rougher the air became over some lifts together. */
  public enum Rougher {
    YES,
    NO,
    /** Not measured in both runs, or not well enough. */
    CANNOT_TELL
  }

  /**
   * Whether the air became rougher over some lifts taken together: the mean of the ratios'
   * logarithms, known better than any one of them.
   *
   * @param liftsM together [m]
   */
  public static Rougher together(TestCurve earlier, TestCurve later, List<Double> liftsM) {
    List<Estimate> rises = new ArrayList<>();
    for (double lift : liftsM) {
      Optional<LiftPoint> then = earlier.at(lift).filter(p -> p.unsteadiness().isPresent());
      Optional<LiftPoint> now = later.at(lift).filter(p -> p.unsteadiness().isPresent());
      if (then.isPresent() && now.isPresent()) {
        rises.add(rise(then.get(), now.get()));
      }
    }
    return together(rises);
  }

  /** Whether the air at some lifts is rougher than at the nearest lifts below them. */
  public static Rougher thanBelow(TestCurve test, List<Double> liftsM) {
    List<LiftPoint> here = new ArrayList<>();
    List<LiftPoint> below = new ArrayList<>();
    double from = liftsM.stream().mapToDouble(Double::doubleValue).min().orElse(0);
    for (LiftPoint point : test.curve()) {
      if (point.unsteadiness().isPresent()) {
        boolean asked = Lifts.among(liftsM, point.liftM());
        if (asked) {
          here.add(point);
        } else if (point.liftM() < from) {
          below.add(point);
        }
      }
    }
    List<LiftPoint> near =
        below.subList(Math.max(0, below.size() - NEIGHBOURS_BELOW), below.size());
    if (here.isEmpty() || near.size() < NEIGHBOURS_BELOW) {
      return Rougher.CANNOT_TELL;
    }
    return judged(
        new Estimate(
            meanLog(here) - meanLog(near),
            Math.hypot(uncertaintyOfMean(here), uncertaintyOfMean(near)),
            Double.POSITIVE_INFINITY));
  }

  private static Rougher together(List<Estimate> rises) {
    if (rises.isEmpty()) {
      return Rougher.CANNOT_TELL;
    }
    double mean = rises.stream().mapToDouble(Estimate::value).average().orElseThrow();
    double squares =
        rises.stream().mapToDouble(r -> r.standardUncertainty() * r.standardUncertainty()).sum();
    return judged(new Estimate(mean, Math.sqrt(squares) / rises.size(), Double.POSITIVE_INFINITY));
  }

  private static Rougher judged(Estimate rise) {
    if (rise.value() >= WORTH_NAMING && rise.pOfZeroOrBelow() <= FALSE_ALARM) {
      return Rougher.YES;
    }
    return rise.value() + ONE_SIDED_95 * rise.standardUncertainty() < WORTH_NAMING
        ? Rougher.NO
        : Rougher.CANNOT_TELL;
  }

  private static double meanLog(List<LiftPoint> points) {
    return points.stream().mapToDouble(UnsteadyLifts::log).average().orElseThrow();
  }

  private static double uncertaintyOfMean(List<LiftPoint> points) {
    double squares = points.stream().mapToDouble(p -> uncertainty(p) * uncertainty(p)).sum();
    return Math.sqrt(squares) / points.size();
  }

  /** Lifts at which the air is rougher than at both neighbouring lifts. */
  public static List<Double> roughest(TestCurve test) {
    List<LiftPoint> curve =
        test.curve().stream().filter(point -> point.unsteadiness().isPresent()).toList();
    List<Double> lifts = new ArrayList<>();
    List<Estimate> rises = new ArrayList<>();
    for (int i = 1; i < curve.size(); i++) {
      LiftPoint here = curve.get(i);
      LiftPoint rougher = curve.get(i - 1);
      if (i + 1 < curve.size() && log(curve.get(i + 1)) > log(rougher)) {
        rougher = curve.get(i + 1);
      }
      lifts.add(here.liftM());
      rises.add(rise(rougher, here));
    }
    return standingOut(lifts, rises);
  }

  /**
   * The kept point at the nearest lift, when the air here is rougher than there. Where the seat
   * still rules the flow, air grows rougher from one lift to the next on any port: there it must be
   * rougher than the lift above as well.
   */
  public static Optional<LiftPoint> calmerNeighbour(
      Plan plan, LiftPoint here, List<LiftPoint> kept) {
    return nearest(here, kept)
        .filter(
            near ->
                ShortSideFinding.high(plan, here.liftM())
                    || above(here, kept).map(above -> isRougher(here, above)).orElse(false))
        .filter(near -> isRougher(here, near));
  }

  private static Optional<LiftPoint> above(LiftPoint here, List<LiftPoint> kept) {
    return nearest(here, kept.stream().filter(p -> p.liftM() > here.liftM()).toList());
  }

  private static boolean isRougher(LiftPoint here, LiftPoint there) {
    return !standingOut(List.of(here.liftM()), List.of(rise(there, here))).isEmpty();
  }

  private static Optional<LiftPoint> nearest(LiftPoint here, List<LiftPoint> kept) {
    return kept.stream()
        .filter(point -> point.unsteadiness().isPresent() && here.unsteadiness().isPresent())
        .filter(point -> !Lifts.same(point.liftM(), here.liftM()))
        .filter(point -> point.sweep().plansWay() == here.sweep().plansWay())
        .min(Comparator.comparingDouble(point -> Math.abs(point.liftM() - here.liftM())));
  }

  private static Estimate rise(LiftPoint from, LiftPoint to) {
    return new Estimate(
        log(to) - log(from),
        Math.hypot(uncertainty(to), uncertainty(from)),
        Double.POSITIVE_INFINITY);
  }

  private static List<Double> standingOut(List<Double> lifts, List<Estimate> rises) {
    double[] p = rises.stream().mapToDouble(Estimate::pOfZeroOrBelow).toArray();
    boolean[] rejected = Holm.rejected(p, FALSE_ALARM);
    List<Double> found = new ArrayList<>();
    for (int i = 0; i < p.length; i++) {
      if (rejected[i] && rises.get(i).value() >= WORTH_NAMING) {
        found.add(lifts.get(i));
      }
    }
    return found;
  }

  private static double log(LiftPoint point) {
    return Math.log(Math.max(1e-3, point.unsteadiness().orElseThrow()));
  }

  private static double uncertainty(LiftPoint point) {
    return Math.hypot(
        SIZE_SCATTER, 1 / Math.sqrt(2 * Math.max(2, point.average().effectiveSamples())));
  }

  /** What one test shows by itself. */
  public static Optional<Finding> finding(TestCurve test) {
    InUnits in = new InUnits(test.plan().units());
    List<Double> switching = switching(test);
    List<Double> roughest = roughest(test);
    if (switching.isEmpty() && roughest.isEmpty()) {
      return Optional.empty();
    }
    List<Double> lifts = new ArrayList<>(switching);
    roughest.stream().filter(lift -> !lifts.contains(lift)).forEach(lifts::add);
    lifts.sort(null);
    List<String> evidence = new ArrayList<>();
    for (double lift : lifts) {
      evidence.add(
          in.lift(lift)
              + ": "
              + (switching.contains(lift) ? "jumps between levels" : "rougher than its neighbours")
              + said(test.at(lift)));
    }
    return Optional.of(
        new Finding(
            Finding.Kind.UNSTEADINESS,
            "In \"" + test.name() + "\" the air is not at rest at " + in.lifts(lifts) + ".",
            evidence,
            "Average longer at these lifts and take them again from the other side.",
            lifts));
  }

  /** What changed from an earlier run to a later one. */
  public static List<Finding> changes(TestCurve earlier, TestCurve later) {
    List<Finding> findings = new ArrayList<>();
    List<Double> came = risen(earlier, later);
    List<Double> went = risen(later, earlier);
    if (!came.isEmpty()) {
      findings.add(
          change(
              earlier,
              later,
              came,
              went.isEmpty() ? "appeared at " : "moved to ",
              came.stream().anyMatch(lift -> ShortSideFinding.high(later.plan(), lift))
                  ? "Feel for it with a probe or a thread along the short side at these lifts, and"
                      + " take them again opening and closing."
                  : "Look at the seat and at how the valve sits in it, and take these lifts again"
                      + " opening and closing."));
    }
    if (!went.isEmpty() && came.isEmpty()) {
      findings.add(
          change(earlier, later, went, "went away at ", "Nothing to do; keep the change note."));
    }
    return findings;
  }

  private static Finding change(
      TestCurve earlier, TestCurve later, List<Double> lifts, String what, String nextStep) {
    InUnits in = new InUnits(later.plan().units());
    List<String> evidence = new ArrayList<>();
    for (double lift : lifts) {
      evidence.add(
          in.lift(lift)
              + ": unsteadiness from "
              + number(earlier.at(lift))
              + " to "
              + number(later.at(lift)));
    }
    return new Finding(
        Finding.Kind.UNSTEADINESS,
        "From \""
            + earlier.name()
            + "\" to \""
            + later.name()
            + "\" unsteadiness (the flow's fluctuation against the bench's own on a plate) "
            + what
            + in.lifts(lifts)
            + ".",
        evidence,
        nextStep,
        lifts);
  }

  private static String said(Optional<LiftPoint> point) {
    OptionalDouble value = point.map(LiftPoint::unsteadiness).orElse(OptionalDouble.empty());
    return value.isPresent() ? ", unsteadiness " + InUnits.number(value.getAsDouble(), 1) : "";
  }

  private static String number(Optional<LiftPoint> point) {
    OptionalDouble value = point.map(LiftPoint::unsteadiness).orElse(OptionalDouble.empty());
    return value.isPresent() ? InUnits.number(value.getAsDouble(), 1) : "unknown";
  }
}
