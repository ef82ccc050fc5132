package meniscus.core.finding;

import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.flow.Direction;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestSetUp;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.core.uncertainty.Budget;
import meniscus.core.uncertainty.Contribution;

/** Points and plans for invented suspicions. */
public final class SuspectPoints {

  private SuspectPoints() {}

  public static LiftPoint point(
      int rung, Moment at, double lift, double flow, double pressure, List<Contribution> budget) {
    return point(rung, at, lift, flow, pressure, budget, Verdict.STEADY, 2, 60);
  }

  public static LiftPoint point(
      int rung,
      Moment at,
      double lift,
      double flow,
      double pressure,
      List<Contribution> budget,
      Verdict verdict,
      double unsteadiness,
      double effectiveSamples) {
    Budget errors = new Budget(budget);
    return new LiftPoint(
        new LiftPoint.Taken(rung, 1, 1, at, lift, Sweep.OPENING, "main"),
        new LiftPoint.Flow(
            flow / 100,
            flow,
            OptionalDouble.of(errors.u95()),
            OptionalDouble.of(errors.repeat().u95()),
            OptionalDouble.empty()),
        new LiftPoint.Setting(pressure, true, OptionalDouble.empty(), OptionalDouble.empty()),
        new LiftPoint.Average(
            verdict, OptionalDouble.of(unsteadiness), 20, effectiveSamples, false),
        List.of(),
        budget);
  }

  /** The same point of the closing sweep. */
  public static LiftPoint closing(LiftPoint point) {
    return of(Sweep.CLOSING, point);
  }

  /** The same point of another sweep. */
  static LiftPoint of(Sweep sweep, LiftPoint point) {
    LiftPoint.Taken t = point.taken();
    return new LiftPoint(
        new LiftPoint.Taken(
            t.rung(), t.attempt(), t.segment(), t.keptAt(), t.liftM(), sweep, t.range()),
        point.flow(),
        point.setting(),
        point.average(),
        point.remarks(),
        point.budget());
  }

  /** The same with the air going the other way. */
  public static Plan blowing(Plan p) {
    return new Plan(
        p.subject(),
        p.setUp(),
        new Plan.Aim(Direction.BLOWING, p.testPressurePa(), p.aimBand(), p.shortPressure()),
        p.ladder(),
        p.keeping(),
        p.range(),
        p.shown());
  }

  /** Valve of 1.94 in; the rest as the invented bench has it. */
  public static Plan plan(List<Rung> ladder, OptionalDouble smallest) {
    Plan p = InventedBench.plan(InventedBench.ladder());
    TestSetUp s = p.setUp();
    return new Plan(
        p.subject(),
        new TestSetUp(
            InventedBench.oneValve(1.94 * 0.0254),
            smallest,
            s.adapter(),
            s.fitted(),
            s.indicator()),
        new Plan.Aim(p.direction(), 28 * 249.08891, p.aimBand(), p.shortPressure()),
        ladder,
        p.keeping(),
        p.range(),
        p.shown());
  }
}
