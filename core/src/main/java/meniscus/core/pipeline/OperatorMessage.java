package meniscus.core.pipeline;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Site;
import meniscus.core.flow.Direction;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Rung;
import meniscus.core.lift.SeatReadings;
import meniscus.core.quantity.Coded;
import meniscus.core.remark.Remark;

/** Something to tell the operator of a running test; {@link MessageWords} makes it a sentence. */
public sealed interface OperatorMessage {

  /** What messages are about, as files and pages name it. */
  enum Kind implements Coded {
    /** The next rung is asked for. */
    NEXT(Next.class),
    /** A keep is remembered until the average is good. */
    ARMED(Armed.class),
    /** A command could not be done. */
    REFUSED(Refused.class, SeatUnseen.class, SeatTooFar.class),
    /** A reading was typed, or is to be typed again. */
    TYPED(Typed.class),
    /** The averaging of a rung was broken off. */
    BROKEN_OFF(BrokenOff.class),
    /** The blower does not reach the test pressure. */
    SHORT_PRESSURE(ShortOfPressure.class),
    /** Something of the bench's upkeep is still to be done. */
    UPKEEP(OpenUpkeep.class, CalmLeftOut.class, BarometerDoubt.class),
    /** The gauges' zeros are to be looked at. */
    ZERO(Interrupted.class),
    /** How a rung came out again after an interruption. */
    STEP(Step.class),
    /** The air at a rung is rougher than at its neighbour. */
    ROUGHER(Rougher.class),
    /** The dial on the seat: to be read, or what it showed. */
    SEAT(SeatWanted.class, SeatRead.class),
    /** Something looks like a short side that gives up: confirm it now? */
    CONFIRM(Suspected.class),
    /** The air is to go the other way, or cannot. */
    OTHER_WAY(TurnAir.class, OneWayOnly.class),
    /** An instrument is at fault. */
    FAULT(Faulty.class, GoesOnWithout.class),
    /** The disk does not take what is written. */
    DISK(DiskFails.class),
    /** It takes it again. */
    DISK_AGAIN(DiskWorks.class),
    /** The journal's second copy is not written, or is written again. */
    MIRROR(Mirror.class, MirrorUnfinished.class),
    /** All rungs are done. */
    COMPLETE(Complete.class);

    private final Set<Class<?>> messages;

    Kind(Class<?>... messages) {
      this.messages = Set.of(messages);
    }

    /** The messages of this kind. */
    Set<Class<?>> messages() {
      return messages;
    }
  }

  default Kind kind() {
    return Stream.of(Kind.values())
        .filter(kind -> kind.messages.contains(getClass()))
        .findFirst()
        .orElseThrow();
  }

  /**
   * @param wanted what is to be typed
   * @param byKey nothing but a key tells that the lift is set
   */
  record Next(Rung rung, List<Channel> wanted, boolean byKey) implements OperatorMessage {}

  /**
   * @param already it was to be kept before
   */
  record Armed(Rung rung, boolean already) implements OperatorMessage {}

  /** Why a command could not be done. */
  record Refused(Why why) implements OperatorMessage {

    /** The reasons. */
    public enum Why {
      KEEP_WHEN_DONE,
      KEEP_BEFORE_KEY,
      KEEP_WITHOUT_AVERAGE,
      REDO_OF_NOTHING,
      SKIP_WHEN_DONE,
      UNDO_OF_NOTHING,
      CONFIRM_WHEN_STOPPED,
      CONFIRM_TWICE
    }
  }

  /**
   * Readings that were typed.
   *
   * @param asked the rung's test pressure
   * @param read what was read
   * @param amiss why that does not open the rung
   * @param wanted what is still to be read
   * @param handsFree nobody need say keep
   */
  record Typed(
      Rung rung,
      Band asked,
      List<Read> read,
      Optional<Amiss> amiss,
      List<Channel> wanted,
      boolean handsFree)
      implements OperatorMessage {

    /**
     * A test pressure with its band.
     *
     * @param pascals [Pa]
     * @param share how far from it a point is kept [1]
     */
    public record Band(double pascals, double share) {}

    /**
     * A reading of a gauge.
     *
     * @param value [SI]; NaN outside the gauge's range
     * @param halfSwing to either side [SI]
     */
    public record Read(Channel channel, double value, double halfSwing) {}

    /** What typed readings are not where the rung wants them. */
    public enum Amiss {
      LIFT,
      PRESSURE_BELOW,
      PRESSURE_ABOVE
    }
  }

  /**
   * @param wanted what is to be typed anew
   */
  record BrokenOff(Rung rung, BreakOff why, List<Channel> wanted) implements OperatorMessage {}

  /** A reading is faulty. */
  record Faulty(List<Remark> why) implements OperatorMessage {}

  /** An instrument is gone that flows can do without. */
  record GoesOnWithout(String id) implements OperatorMessage {}

  /**
   * The blower gives less than is asked.
   *
   * @param then what is done about it
   * @param commonPa the test pressure of the whole ladder from here on, where it was lowered [Pa]
   */
  record ShortOfPressure(Rung rung, double reachedPa, double aimPa, Then then, double commonPa)
      implements OperatorMessage {

    /** What is done. */
    public enum Then {
      KEPT,
      SKIPPED,
      ALL_TAKEN_LOWER
    }
  }

  /** The air at a point is rougher than at its neighbour. */
  record Rougher(LiftPoint point, LiftPoint neighbour) implements OperatorMessage {}

  /** A rung before and after an interruption. */
  record Step(LiftPoint before, LiftPoint after) implements OperatorMessage {}

  /** A new segment begins after another. */
  record Interrupted() implements OperatorMessage {}

  /** All rungs are done. */
  record Complete() implements OperatorMessage {}

  /**
   * Something looks like a short side that gives up.
   *
   * @param liftM where [m]
   * @param waitsSeconds how long an answer is waited for [s]
   */
  record Suspected(double liftM, double waitsSeconds) implements OperatorMessage {}

  /**
   * The hoses are to be changed.
   *
   * @param way that the air is to go
   */
  record TurnAir(Direction way) implements OperatorMessage {}

  /**
   * No control with the air going the other way.
   *
   * @param way that the bench does not know
   */
  record OneWayOnly(Direction way) implements OperatorMessage {}

  /**
   * The dial is to be read on the seat.
   *
   * @param afterwards after the last lift, not before the first
   * @param seen a gauge shows it
   * @param waitsSeconds how long the end waits for it [s]
   */
  record SeatWanted(boolean afterwards, boolean seen, double waitsSeconds)
      implements OperatorMessage {}

  /** What the dial showed on the seat [m], and all that was read there. */
  record SeatRead(double metres, SeatReadings readings) implements OperatorMessage {}

  /**
   * Nothing rests near the zero.
   *
   * @param seen a gauge shows the lift
   */
  record SeatUnseen(boolean seen) implements OperatorMessage {}

  /** That is no dial on a seat [m]. */
  record SeatTooFar(double metres) implements OperatorMessage {}

  /**
   * What is still to be done on the bench.
   *
   * @param calm whether a calm record can be taken there
   */
  record OpenUpkeep(Bench bench, boolean calm) implements OperatorMessage {}

  /**
   * The calm record is too short for gauges that read so seldom.
   *
   * @param longestSeconds its longest run [s]
   * @param neededSeconds [s]
   */
  record CalmLeftOut(String range, Direction direction, double longestSeconds, double neededSeconds)
      implements OperatorMessage {}

  /**
   * A room pressure that was typed in is odd for the bench's height.
   *
   * @param stationPa at the bench [Pa]
   */
  record BarometerDoubt(Site site, double stationPa) implements OperatorMessage {}

  /**
   * @param trouble what the disk says
   */
  record DiskFails(String trouble) implements OperatorMessage {}

  /** All is written. */
  record DiskWorks() implements OperatorMessage {}

  /**
   * @param trouble what the mirror's disk says; empty when it works again
   */
  record Mirror(Optional<String> trouble) implements OperatorMessage {}

  /**
   * The test is finished; the journal on its mirror still looks unfinished.
   *
   * @param trouble what the mirror's disk says
   */
  record MirrorUnfinished(String trouble) implements OperatorMessage {}
}
