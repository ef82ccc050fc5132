package meniscus.core.lift;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.stream.Stream;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import org.junit.jupiter.api.Test;

/** The dial on the seat, before and after. */
class SeatReadingsTest {

  private static final TestEvent.Kept KEPT = new TestEvent.Kept(1, 1);

  private static SeatReadings of(TestEvent.What... events) {
    List<TestEvent> all =
        Stream.of(events).map(what -> new TestEvent(Moment.START, 0, what)).toList();
    return SeatReadings.of(all);
  }

  private static TestEvent.Seat reads(double millimetres) {
    return new TestEvent.Seat(millimetres * 1e-3);
  }

  @Test
  void theLastReadingBeforeALiftAndTheLastOneAfterAllLiftsCount() {
    SeatReadings seat = of(reads(0.05), reads(0.01), KEPT, reads(0.3), KEPT, reads(0.03));
    assertEquals(0.01e-3, seat.beforeM().orElseThrow());
    assertEquals(0.03e-3, seat.afterM().orElseThrow());
    assertEquals(0.02e-3, seat.zeroM(), 1e-12);
    assertEquals(0.02e-3, seat.movedM(), 1e-12);
    assertFalse(seat.slipped());
  }

  @Test
  void aReadingInTheMiddleIsNoEnd() {
    assertFalse(of(reads(0), KEPT, reads(0), KEPT).both());
    assertFalse(of(KEPT, reads(0)).both());
    assertFalse(of(reads(0)).both());
  }

  /**
   * Two readings that agree are worth 0.010 mm; between two that do not, the zero may have been
   * anywhere: their distance over √12 (JCGM 100:2008, 4.3.7), both in squares.
   */
  @Test
  void theZeroIsAsGoodAsAHandAndAsTheTwoReadingsAgree() {
    assertEquals(0.010e-3, of(reads(0), KEPT, reads(0)).zeroUncertaintyM(0.025e-3), 1e-12);
    SeatReadings moved = of(reads(0), KEPT, reads(0.06));
    assertEquals(0.02e-3, moved.zeroUncertaintyM(0.025e-3), 1e-9); // √(10² + 17.32²) µm
    assertTrue(moved.slipped());
    assertEquals(
        0.005e-3, of(reads(0), KEPT, reads(0)).zeroUncertaintyM(0.005e-3), "the plan's is better");
  }

  @Test
  void anEventIsReadBackAsItWasWritten() {
    TestEvent.Seat seat = reads(-0.0123);
    assertEquals(seat, EventText.what(TestEvent.Kind.SEAT, EventText.detail(seat)));
    assertThrows(Refusal.class, () -> reads(0.6));
  }
}
