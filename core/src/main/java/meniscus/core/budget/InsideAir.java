package meniscus.core.budget;

import meniscus.core.bench.PortFlow;
import meniscus.core.flow.Direction;

/** What is not known of the air inside the bench where no thermometer tells. Our own estimates. */
final class InsideAir {

  /** On suction the air keeps the room's temperature but for what the walls give it [K]. */
  private static final double WALLS_K = 1;

  /** Between plenum and flow element [K]. */
  static final double DIFFERENCE_K = 2;

  private InsideAir() {}

  /** Half-width of the temperature's limits without any thermometer inside [K]. */
  static double halfWidthK(Direction direction) {
    return direction == Direction.SUCTION ? WALLS_K : PortFlow.ASSUMED_MOTOR_HEAT_K;
  }
}
