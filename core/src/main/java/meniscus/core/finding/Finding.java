package meniscus.core.finding;

import java.util.List;
import java.util.Objects;
import meniscus.core.quantity.Worded;

/**
 * Something worth saying of a test or a comparison.
 *
 * @param kind of finding
 * @param sentence for a person, whole
 * @param evidence what it rests on, with numbers
 * @param nextStep what to do on the bench to confirm or refute it
 * @param liftsM lifts it is about [m]; empty when it is about the whole test
 */
public record Finding(
    Kind kind, String sentence, List<String> evidence, String nextStep, List<Double> liftsM) {

  /** What a finding is about. */
  public enum Kind implements Worded {
    TURNOVER,
    SWEEP_DIFFERENCE,
    UNSTEADINESS,
    PRESSURE_SWEEP,
    OTHER_WAY,
    GAINED_BELOW_LOST_ABOVE,
    LOST_BELOW_GAINED_ABOVE,
    LOST_AT_LOW_LIFT,
    LOSES_AT_HIGH_LIFT,
    LIKELY_SHORT_SIDE,
    LIKE_A_SHIFTED_LIFT_ZERO,
    LIKE_A_LEAK,
    LIKE_ANOTHER_TEST_PRESSURE,
    EXPECTED,
    SIGN_FOLLOWED_UP,
    SETUP_DIFFERS,
    OVERRIDDEN,
    TEST_PRESSURES_DIFFER,
    OTHER_BENCH_OR_CALIBRATION,
    REPEATABILITY,
    LIFTS_NOT_IN_COMMON,
    ROOM_AIR_FAR_APART,
    OUTSIDE_THE_CALIBRATION,
    POINTS_TO_DOUBT,
    VALVE_MAY_HAVE_MOVED,
    BENCH_HEALTH,
    PART_DIFFERS,
    CAUTION;
  }

  public Finding {
    Objects.requireNonNull(kind);
    Objects.requireNonNull(sentence);
    Objects.requireNonNull(nextStep);
    evidence = List.copyOf(evidence);
    liftsM = List.copyOf(liftsM);
  }
}
