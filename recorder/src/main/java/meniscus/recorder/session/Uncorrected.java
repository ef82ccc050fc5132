package meniscus.recorder.session;

import java.util.List;
import meniscus.core.air.AirState;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.bench.Upkeep;
import meniscus.core.flow.Direction;
import meniscus.core.flow.ReferenceState;
import meniscus.core.instrument.Channel;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.quantity.Unit;
import meniscus.core.steadiness.JudgeSettings;

/**
 * The main path as upkeep reads a bench: with the range's uncorrected element and no leak
 * subtracted, for both are what upkeep learns.
 */
public final class Uncorrected {

  private static final double TEST_PRESSURE_PA = 28 * Unit.INCH_OF_WATER.factor();

  private Uncorrected() {}

  /**
   * The path at its beginning.
   *
   * @param channels of each instrument, in the bench's order
   * @param judge target and cap; no calm record
   */
  public static Acquisition path(
      Bench bench,
      Range range,
      Direction direction,
      List<List<Channel>> channels,
      JudgeSettings judge) {
    return Acquisition.of(
        bench.with(Uncorrected::withoutLeaks),
        range,
        range.element(),
        direction,
        channels,
        judge,
        new ReferenceState(AirState.DRY_20C, TEST_PRESSURE_PA));
  }

  private static Upkeep withoutLeaks(Upkeep upkeep) {
    return new Upkeep(
        upkeep.epoch(),
        upkeep.zeros(),
        List.of(),
        upkeep.calibrations(),
        upkeep.repeatability(),
        upkeep.calm(),
        upkeep.health());
  }
}
