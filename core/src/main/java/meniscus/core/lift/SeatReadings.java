package meniscus.core.lift;

import java.util.Objects;
import java.util.OptionalDouble;

/**
 * What the dial showed with the valve shut, before the first lift of a test and after its last one.
 * Both together are worth a better zero than a hand sets: what was wrong at the beginning is known,
 * and so is what moved on the way.
 *
 * @param beforeM last reading before a lift was kept [m]
 * @param afterM last reading with no lift kept after it [m]
 */
public record SeatReadings(OptionalDouble beforeM, OptionalDouble afterM) {

  public static final SeatReadings NONE =
      new SeatReadings(OptionalDouble.empty(), OptionalDouble.empty());

  /** Further off than this, a reading is not of a shut valve: our own choice. */
  public static final double FURTHEST_M = 0.5e-3;

  /** A zero that moved by more than this was not the hand's doing: three times what a hand does. */
  private static final double SLIPPED_M = 3 * TestSetUp.LIFT_ZERO_READ_TWICE_M;

  public SeatReadings {
    Objects.requireNonNull(beforeM);
    Objects.requireNonNull(afterM);
  }

  /**
   * The dial was read on the seat.
   *
   * @param keptAny whether a lift is kept by then
   */
  public SeatReadings read(double metres, boolean keptAny) {
    OptionalDouble reading = OptionalDouble.of(metres);
    return keptAny ? new SeatReadings(beforeM, reading) : new SeatReadings(reading, afterM);
  }

  /** A lift is kept: what was read before it is not the end's reading. */
  public SeatReadings kept() {
    return afterM.isEmpty() ? this : new SeatReadings(beforeM, OptionalDouble.empty());
  }

  public boolean both() {
    return beforeM.isPresent() && afterM.isPresent();
  }

  /** By how much the zero moved during the test [m]; only of {@link #both}. */
  public double movedM() {
    return afterM.orElseThrow() - beforeM.orElseThrow();
  }

  /** True when it moved by more than a hand reads it wrong. */
  public boolean slipped() {
    return Math.abs(movedM()) > SLIPPED_M;
  }

  /** What the dial shows at no lift, over the test [m]; only of {@link #both}. */
  public double zeroM() {
    return (beforeM.orElseThrow() + afterM.orElseThrow()) / 2;
  }

  /**
   * Standard uncertainty of that zero at any moment of the test [m]: a hand's, and a zero that may
   * have been anywhere between the two readings (rectangular, JCGM 100:2008, 4.3.7).
   *
   * @param saidM that the plan says; a better one stands
   */
  public double zeroUncertaintyM(double saidM) {
    return Math.hypot(Math.min(saidM, TestSetUp.LIFT_ZERO_READ_TWICE_M), movedM() / Math.sqrt(12));
  }

  /** The readings that a test's events tell, one after the other. */
  public static final class Heard {
    private SeatReadings seat = NONE;
    private boolean keptAny;

    public void happened(TestEvent.What what) {
      if (what instanceof TestEvent.Seat read) {
        seat = seat.read(read.readM(), keptAny);
      } else if (what instanceof TestEvent.Kept) {
        keptAny = true;
        seat = seat.kept();
      }
    }

    public SeatReadings readings() {
      return seat;
    }
  }

  /** Of all events of a test. */
  public static SeatReadings of(Iterable<TestEvent> events) {
    Heard heard = new Heard();
    events.forEach(event -> heard.happened(event.what()));
    return heard.readings();
  }
}
