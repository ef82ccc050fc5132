package meniscus.core.finding;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.core.finding.Cause.Answer;
import meniscus.core.finding.Cause.Trait;
import meniscus.core.finding.UnsteadyLifts.Rougher;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestCurve;

/**
 * Looks for the signs of a short side in a test, and for what speaks against its rivals. Where flow
 * is lost is said first; the rest is looked for there.
 */
public final class SignSearch {

  private final TestCurve test;
  private final InUnits in;
  private final List<Sign> signs = new ArrayList<>();
  private final Map<Trait, Answer> seen = new EnumMap<>(Trait.class);

  public SignSearch(TestCurve test, InUnits in) {
    this.test = test;
    this.in = in;
  }

  /** One test by itself: flow that falls with more lift, air rougher than at the lifts below. */
  public static Optional<Finding> in(TestCurve test) {
    SignSearch search = new SignSearch(test, new InUnits(test.plan().units()));
    Turnover.in(test).ifPresent(found -> search.turnedOver(found, List.of()));
    search.rougher(
        UnsteadyLifts.switching(test), List.of(), UnsteadyLifts.thanBelow(test, search.lost()));
    search.louder(LouderLifts.thanBelow(test, search.lost()));
    search.closing();
    List<PressureSweep> sweeps = PressureSweep.in(test);
    search.pressure(sweeps);
    search.otherWay(OtherWayControl.in(test, sweeps));
    return search.finding();
  }

  /** High lifts of one test at which the flow falls or jumps, rising [m]. */
  public static List<Double> suspected(TestCurve test) {
    List<Double> lifts = new ArrayList<>(UnsteadyLifts.switching(test));
    Turnover.in(test).ifPresent(found -> lifts.addAll(found.fallLiftsM()));
    return lifts.stream()
        .filter(lift -> ShortSideFinding.high(test.plan(), lift))
        .distinct()
        .sorted()
        .toList();
  }

  /** High lifts that flow less than before [m]. */
  public void lost(List<Double> liftsM) {
    add(Sign.Kind.LOSES, liftsM, "less flow than before at " + in.lifts(liftsM));
  }

  /**
   * @param before lifts at which the flow fell before already [m]
   */
  public void turnedOver(Turnover turnover, List<Double> before) {
    List<Double> fresh =
        turnover.fallLiftsM().stream()
            .filter(lift -> !before.contains(lift) && ShortSideFinding.high(test.plan(), lift))
            .toList();
    add(Sign.Kind.LOSES, fresh, "the flow falls with more lift at " + in.lifts(fresh));
  }

  /**
   * @param jumping lifts at which the flow jumps [m]
   * @param risen lifts at which the air is rougher, each by itself [m]
   * @param together whether the air at the lost lifts is rougher, taken together
   */
  public void rougher(List<Double> jumping, List<Double> risen, Rougher together) {
    List<Double> lost = lost();
    add(Sign.Kind.ROUGHER, jumping, "the flow jumps between levels at " + in.lifts(jumping));
    add(Sign.Kind.ROUGHER, risen, "the air became rougher at " + in.lifts(risen));
    if (together == Rougher.YES) {
      add(Sign.Kind.ROUGHER, lost, "taken together the air is rougher at " + in.lifts(lost));
    }
  }

  /**
   * The fast channel at the lost lifts.
   *
   * @param louder bands in which it is louder than the same port gives reason to expect
   */
  public void louder(List<LouderLifts> louder) {
    List<Double> lost = lost();
    if (!lost.isEmpty() && !louder.isEmpty()) {
      add(
          Sign.Kind.ROUGHER,
          lost,
          "the fast channel is louder at " + in.lifts(lost) + ": " + LouderLifts.told(louder));
    }
  }

  /** The closing sweep against the opening one. */
  public void closing() {
    Optional<SweepDifference> less =
        SweepDifference.in(test).filter(SweepDifference::closingFlowsLess);
    less.ifPresent(
        difference ->
            add(
                Sign.Kind.CLOSING_DIFFERS,
                difference.differing(),
                "the closing sweep flows less than the opening one at "
                    + in.lifts(difference.differing())));
    if (!test.curve(Sweep.OPENING).isEmpty() && !test.curve(Sweep.CLOSING).isEmpty()) {
      saw(Trait.CLOSING_DIFFERS, less.isPresent());
    }
  }

  /**
   * The same lifts with the air going the other way.
   *
   * @param liftsM of those lost, with a control [m]
   * @param lostToo whether flow is lost that way too
   */
  public void otherDirection(List<Double> liftsM, boolean lostToo) {
    saw(Trait.BLOWING_TOO, lostToo);
    if (!lostToo) {
      add(
          Sign.Kind.NOT_BLOWING,
          liftsM,
          "with the air going the other way there is no such loss at " + in.lifts(liftsM));
    }
  }

  /** The lost lifts with the air going the other way, in the same test. */
  public void otherWay(List<OtherWayControl> controls) {
    List<Double> lost = lost();
    controls.stream()
        .filter(control -> control.shows() != Answer.OPEN)
        .filter(control -> Lifts.among(lost, control.liftM()))
        .forEach(
            control -> otherDirection(List.of(control.liftM()), control.shows() == Answer.YES));
  }

  /** Sweeps over test pressure at lost lifts, and whether the spring held there. */
  public void pressure(List<PressureSweep> sweeps) {
    List<Double> lost = lost();
    if (lost.isEmpty()) {
      return;
    }
    for (PressureSweep sweep : sweeps) {
      if (!Lifts.isBelow(sweep.liftM(), lost.get(0))) {
        sweep.told().ifPresent(falls -> saw(Trait.FALLS_WITH_PRESSURE, falls));
        if (sweep.told().orElse(false)) {
          add(
              Sign.Kind.FALLS_WITH_PRESSURE,
              List.of(sweep.liftM()),
              new SweepWords(sweep, in).sentence());
        }
      }
    }
    if (test.plan().setUp().spring().isPresent()) {
      saw(
          Trait.SPRING_OVERCOME,
          test.curve().stream()
              .filter(point -> lost.contains(point.liftM()))
              .anyMatch(point -> PressureSweep.valveMoves(test.plan(), point)));
    }
  }

  /** Lifts with flow lost so far, rising [m]. */
  public List<Double> lost() {
    return ShortSideFinding.lost(signs);
  }

  public Optional<Finding> finding() {
    return new ShortSideFinding(test.plan(), signs, seen).finding();
  }

  private void add(Sign.Kind kind, List<Double> liftsM, String told) {
    if (!liftsM.isEmpty()) {
      signs.add(new Sign(kind, told, liftsM));
    }
  }

  /** A yes stands over a no. */
  private void saw(Trait trait, boolean there) {
    seen.merge(
        trait, there ? Answer.YES : Answer.NO, (one, other) -> one == Answer.YES ? one : other);
  }
}
