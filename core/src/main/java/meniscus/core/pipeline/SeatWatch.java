package meniscus.core.pipeline;

import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Use;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.SeatReadings;
import meniscus.core.time.Moment;

/**
 * Reads the dial on the seat, before the first lift and after the last one: by itself where a
 * channel shows the lift, else what a person types. It asks and never stops a rung; only the end of
 * a test that began with such a reading waits for the second one.
 */
final class SeatWatch {

  /** So long the end waits for it [s]: the blower runs down and the opener is turned back. */
  private static final double WAITS_S = 60;

  /** So long a segment begins with a look at the dial, where nobody sets the first lift [s]. */
  private static final double BEGINS_S = 15;

  /** A dial that rests for so long rests on something [s] ... */
  private static final double REST_S = 1.5;

  /** ... when it moves by no more than this [m]: three steps of a 0.01 mm caliper. */
  private static final double STILL_M = 0.03e-3;

  /** Another reading than the one before, not its noise [m]: what a person sees on a dial. */
  private static final double ANOTHER_M = 0.008e-3;

  private final Acquisition acquisition;
  private final Recent lift = new Recent(REST_S);
  private final double nearM;
  private SeatReadings readings = SeatReadings.NONE;
  private double until = Double.NEGATIVE_INFINITY;
  private double beginsUntil = Double.NEGATIVE_INFINITY;

  SeatWatch(Acquisition acquisition, Plan plan) {
    this.acquisition = acquisition;
    double lowest = plan.ladder().stream().mapToDouble(Rung::liftM).min().orElse(0);
    this.nearM = Math.min(SeatReadings.FURTHEST_M, lowest / 2);
  }

  /** What was read so far. */
  SeatReadings readings() {
    return readings;
  }

  /** Goes on with what earlier segments read. */
  void takeUp(SeatReadings earlier) {
    readings = earlier;
  }

  void read(double metres, boolean keptAny) {
    readings = readings.read(metres, keptAny);
    until = Double.NEGATIVE_INFINITY;
  }

  /** A rung is kept. */
  void kept() {
    readings = readings.kept();
  }

  /** A segment begins. */
  void begins(Moment now) {
    lift.clear();
    beginsUntil = now.seconds() + BEGINS_S;
  }

  /** An instrument is gone: what was seen of it says nothing any more. */
  void forget() {
    lift.clear();
  }

  /** True where a gauge shows the lift and nobody types it. */
  boolean seesLift() {
    return acquisition.measured(Use.LIFT) && !acquisition.byEye(Use.LIFT);
  }

  /** A frame was accepted: looks at the lift it brought. */
  void look(double seconds) {
    double value = acquisition.latest(Use.LIFT);
    if (seesLift() && acquisition.latestSeconds(Use.LIFT) == seconds && Double.isFinite(value)) {
      lift.add(seconds, value);
    }
  }

  /** What the dial shows, when it rests near its zero [m]. */
  OptionalDouble resting() {
    if (!lift.covers(0.9)) {
      return OptionalDouble.empty();
    }
    double[] bounds = lift.bounds();
    return bounds[1] - bounds[0] <= STILL_M && Math.abs(lift.mean()) <= nearM
        ? OptionalDouble.of(lift.mean())
        : OptionalDouble.empty();
  }

  /**
   * A reading to be taken by itself now, with no rung open and the blower off.
   *
   * @param keptAny whether a rung is kept
   * @param done whether no rung is wanted any more
   */
  OptionalDouble takes(boolean keptAny, boolean done) {
    if (keptAny && !(done && readings.beforeM().isPresent())) {
      return OptionalDouble.empty();
    }
    OptionalDouble had = keptAny ? readings.afterM() : readings.beforeM();
    OptionalDouble now = resting();
    boolean another =
        now.isPresent()
            && (had.isEmpty() || Math.abs(now.getAsDouble() - had.getAsDouble()) > ANOTHER_M);
    return another ? now : OptionalDouble.empty();
  }

  /** The last rung is done: the end waits from here on, when there is a first reading. */
  boolean asksAtTheEnd(Moment now) {
    if (readings.beforeM().isEmpty() || readings.afterM().isPresent()) {
      return false;
    }
    until = now.seconds() + WAITS_S;
    return true;
  }

  boolean waits(Moment now) {
    return now.seconds() < until;
  }

  /** True while a simulated operator is to hold the valve shut for it. */
  boolean wantsShut(boolean keptAny, boolean done, Moment now) {
    return seesLift()
        && question(keptAny, done, now).isPresent()
        && (keptAny || now.seconds() < beginsUntil);
  }

  static long waitsSeconds() {
    return Math.round(WAITS_S);
  }

  /**
   * What is asked just now.
   *
   * @param keptAny whether a rung is kept
   * @param done whether no rung is wanted any more
   */
  Optional<Question> question(boolean keptAny, boolean done, Moment now) {
    if (!done && !keptAny && readings.beforeM().isEmpty()) {
      return Optional.of(question(Question.Kind.SEAT_BEFORE));
    }
    return done && waits(now) ? Optional.of(question(Question.Kind.SEAT_AFTER)) : Optional.empty();
  }

  private Question question(Question.Kind kind) {
    return new Question(kind, OptionalDouble.empty(), !seesLift());
  }
}
