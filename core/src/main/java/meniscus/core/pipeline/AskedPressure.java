package meniscus.core.pipeline;

import meniscus.core.lift.Plan;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.OperatorMessage.ShortOfPressure.Then;

/** The test pressure that is asked for: the plan's, or what the weakest rung reached, for all. */
final class AskedPressure {

  /** The common test pressure stays this much below what the weakest rung reached. */
  private static final double COMMON_MARGIN = 0.99;

  private final Plan plan;
  private final Ladder ladder;
  private double commonPa = Double.POSITIVE_INFINITY;

  AskedPressure(Plan plan, Ladder ladder) {
    this.plan = plan;
    this.ladder = ladder;
  }

  /** Now [Pa]. */
  double pa() {
    return atMost(ladder.done() ? plan.testPressurePa() : plan.aimPa(ladder.wanted()));
  }

  double atMost(double pascals) {
    return Math.min(commonPa, pascals);
  }

  /**
   * The blower gives no more than this at the wanted rung: what the plan wants done about it is
   * told, and the pressure of all lowered where that is it.
   */
  Then comesShort(double reachedPa, RunRecord record) {
    double asked = pa();
    Then then =
        switch (plan.shortPressure()) {
          case KEEP -> Then.KEPT;
          case SKIP -> Then.SKIPPED;
          case COMMON -> Then.ALL_TAKEN_LOWER;
        };
    if (then == Then.ALL_TAKEN_LOWER) {
      commonPa = COMMON_MARGIN * reachedPa;
    }
    record.tell(new OperatorMessage.ShortOfPressure(ladder.wanted(), reachedPa, asked, then, pa()));
    return then;
  }

  /** In an earlier segment; an aim below the plan's was one that the blower forced on all. */
  void begun(TestEvent.Begun begun) {
    boolean lowered =
        plan.ladder().stream()
            .filter(rung -> rung.number() == begun.rung())
            .findFirst()
            .map(rung -> begun.aimPa() < plan.aimPa(rung))
            .orElse(false);
    if (lowered) {
      commonPa = atMost(begun.aimPa());
    }
  }
}
