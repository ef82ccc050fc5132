package meniscus.core.pipeline;

import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;

/**
 * Which way the air goes. No gauge tells: hoses are changed by hand while the blower is off. So a
 * rung that wants the other way begins once the test pressure was gone since it was asked for.
 */
final class AirWay {

  private final Acquisition acquisition;
  private Sweep goes = Sweep.OPENING;

  AirWay(Acquisition acquisition) {
    this.acquisition = acquisition;
  }

  /** True while the hoses are still to be changed for a rung. */
  boolean turnsFor(Rung wanted) {
    return wanted.sweep().plansWay() != goes.plansWay();
  }

  /** Asks for the hoses while they are still to be changed for a rung. */
  Optional<Question> question(Rung wanted) {
    return turnsFor(wanted)
        ? Optional.of(
            new Question(Question.Kind.OTHER_WAY, OptionalDouble.of(wanted.liftM()), false))
        : Optional.empty();
  }

  /**
   * @param blowerOff nothing moves the air, or only a person knows whether it does
   */
  void look(Rung wanted, boolean blowerOff) {
    if (turnsFor(wanted) && blowerOff) {
      goes = wanted.sweep();
      acquisition.faces(goes);
    }
  }
}
