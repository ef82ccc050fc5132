package meniscus.core.air;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import meniscus.core.quantity.Unit;
import org.junit.jupiter.api.Test;

/** Reference air, and handbook standard air (ASHRAE, ACGIH: 0.075 lb/ft³ at 70 °F, 29.92 inHg). */
class StandardAirTest {

  @Test
  void dryAirAt70FahrenheitIsHandbookStandardAir() {
    double pounds = Unit.POUND_PER_CUBIC_FOOT.fromSi(ReferenceAir.DRY_70F.state().density());
    assertEquals(0.075, pounds, 0.0002);
  }

  @Test
  void everyReferenceIsDryAndItsNameTellsPressureAndTemperature() {
    for (ReferenceAir air : ReferenceAir.common()) {
      assertEquals(0, air.state().relativeHumidity());
      assertTrue(air.name().matches(".+ (Pa|kPa|inHg), \\d+ deg[CF], dry"), air.name());
    }
  }
}
