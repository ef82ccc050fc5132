package meniscus.recorder.upkeep;

import static org.junit.jupiter.api.Assertions.assertEquals;

import meniscus.core.quantity.Unit;
import org.junit.jupiter.api.Test;

/** Numbers of gauges as people read them. */
class UpkeepTextTest {

  @Test
  void whatRoundsToNothingHasNoSign() {
    assertEquals("0.0000 inH2O", UpkeepText.text(-0.001, Unit.INCH_OF_WATER));
    assertEquals("0.0000 inH2O", UpkeepText.text(-0.0, Unit.INCH_OF_WATER));
    assertEquals("-1.00 Pa", UpkeepText.text(-1, Unit.PASCAL));
  }
}
