package meniscus.core.pipeline;

import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Use;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.SeatReadings;
import meniscus.core.lift.TestEvent;

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
  private final Ladder ladder;
  private final RunRecord record;
  private final Recent lift = new Recent(REST_S);
  private final double nearM;
  private SeatReadings readings = SeatReadings.NONE;
  private double until = Double.NEGATIVE_INFINITY;
  private double beginsUntil = Double.NEGATIVE_INFINITY;

  SeatWatch(Acquisition acquisition, Plan plan, Ladder ladder, RunRecord record) {
    this.acquisition = acquisition;
    this.ladder = ladder;
    this.record = record;
    double lowest = plan.ladder().stream().mapToDouble(Rung::liftM).min().orElse(0);
    this.nearM = Math.min(SeatReadings.FURTHEST_M, lowest / 2);
  }

  /** Goes on with what earlier segments read. */
  void takeUp(SeatReadings earlier) {
    readings = earlier;
  }

  /** A rung is kept. */
  void kept() {
    readings = readings.kept();
  }

  /** A segment begins. */
  void begins() {
    lift.clear();
    beginsUntil = record.now().seconds() + BEGINS_S;
  }

  /** Asks for the first reading, where it is still wanted. */
  void asksAtTheBeginning() {
    if (keptNothing() && readings.beforeM().isEmpty()) {
      record.tell(new OperatorMessage.SeatWanted(false, seesLift(), WAITS_S));
    }
  }

  /** An instrument is gone: what was seen of it says nothing any more. */
  void forget() {
    lift.clear();
  }

  /** True where a gauge shows the lift and nobody types it. */
  private boolean seesLift() {
    return acquisition.measured(Use.LIFT) && !acquisition.byEye(Use.LIFT);
  }

  /** A frame was accepted: looks at the lift it brought. */
  void look(double seconds) {
    double value = acquisition.latest(Use.LIFT);
    if (seesLift() && acquisition.latestSeconds(Use.LIFT) == seconds && Double.isFinite(value)) {
      lift.add(seconds, value);
    }
  }

  /** Reads by itself what the dial shows now, with no rung open and the blower off. */
  void readsByItself() {
    boolean before = keptNothing();
    if (!before && !(ladder.done() && readings.beforeM().isPresent())) {
      return;
    }
    OptionalDouble had = before ? readings.beforeM() : readings.afterM();
    OptionalDouble now = resting();
    if (now.isPresent()
        && (had.isEmpty() || Math.abs(now.getAsDouble() - had.getAsDouble()) > ANOTHER_M)) {
      takes(now.getAsDouble());
    }
  }

  /** A reading was typed, or the one that rests is wanted [m]. */
  void read(OptionalDouble typed) {
    OptionalDouble read = typed.isPresent() ? typed : resting();
    if (read.isEmpty()) {
      record.tell(new OperatorMessage.SeatUnseen(seesLift()));
    } else if (!(Math.abs(read.getAsDouble()) <= SeatReadings.FURTHEST_M)) {
      record.tell(new OperatorMessage.SeatTooFar(read.getAsDouble()));
    } else {
      takes(read.getAsDouble());
    }
  }

  private void takes(double metres) {
    readings = readings.read(metres, !keptNothing());
    until = Double.NEGATIVE_INFINITY;
    record.write(new TestEvent.Seat(metres));
    record.tell(new OperatorMessage.SeatRead(metres, readings));
  }

  /** What the dial shows, when it rests near its zero [m]. */
  private OptionalDouble resting() {
    if (!lift.covers(0.9)) {
      return OptionalDouble.empty();
    }
    double[] bounds = lift.bounds();
    return bounds[1] - bounds[0] <= STILL_M && Math.abs(lift.mean()) <= nearM
        ? OptionalDouble.of(lift.mean())
        : OptionalDouble.empty();
  }

  private boolean keptNothing() {
    return ladder.points().isEmpty();
  }

  /** Nothing else is asked: the end waits from here on, when there is a first reading. */
  void asksAtTheEnd() {
    if (wantedAtTheEnd()) {
      until = record.now().seconds() + WAITS_S;
      record.tell(new OperatorMessage.SeatWanted(true, seesLift(), WAITS_S));
    }
  }

  private boolean wantedAtTheEnd() {
    return ladder.done() && readings.beforeM().isPresent() && readings.afterM().isEmpty();
  }

  boolean waits() {
    return record.now().seconds() < until;
  }

  /** True while a simulated operator is to hold the valve shut for it, whether asked yet or not. */
  boolean wantsShut() {
    return seesLift()
        && (wantedAtTheEnd() || question().isPresent() && record.now().seconds() < beginsUntil);
  }

  /** What is asked just now. */
  Optional<Question> question() {
    if (!ladder.done() && keptNothing() && readings.beforeM().isEmpty()) {
      return Optional.of(question(Question.Kind.SEAT_BEFORE));
    }
    return ladder.done() && waits()
        ? Optional.of(question(Question.Kind.SEAT_AFTER))
        : Optional.empty();
  }

  private Question question(Question.Kind kind) {
    return new Question(kind, OptionalDouble.empty(), !seesLift());
  }
}
