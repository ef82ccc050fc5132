package meniscus.recorder.look;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Optional;
import meniscus.core.quantity.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Wrong wires, hoses and units by what they make of something known. */
class WiringFaultTest {

  @ParameterizedTest
  @CsvSource({
    "1500, 10, ''",
    "1500, 700, ''",
    "-1500, 10, INVERTED",
    "12, 1500, SWAPPED",
    "12, -1500, SWAPPED",
    "12, 30, NOTHING_MOVES",
  })
  void suckingAtAHoseTellsSignAndHose(double moved, double other, String kind) {
    assertEquals(kind, name(WiringFault.ofSuction("test_pressure", moved, "drop", other)));
  }

  /** Ratios by hand: 1 in = 25.4 mm; 1 psi = 27.68 inH2O; 5 V / 3.3 V = 1.515. */
  @ParameterizedTest
  @CsvSource({
    "in, 25.4, UNIT, send mm",
    "mm, 0.03937, UNIT, send in",
    "mm, 1.01, '', ''",
    "mm, -1, INVERTED, inverted",
    "inH2O, 1.515, REFERENCE, 5 V and 3.3 V",
    "inH2O, 0.66, REFERENCE, 5 V and 3.3 V",
    "inH2O, 0.03613, UNIT, send psi",
    "inH2O, 249.1, UNIT, send Pa",
    "inH2O, 1.2, SCALE, shows 1.20 of what",
  })
  void aKnownValueTellsUnitReferenceAndSign(String unit, double ratio, String kind, String words) {
    Unit sheets = Unit.named(unit);
    double known = sheets.toSi(5);
    Optional<WiringFault> fault = WiringFault.ofKnown("it", ratio * known, known, sheets);
    assertEquals(kind, name(fault));
    assertTrue(fault.map(WiringFault::text).orElse("").contains(words), fault.toString());
  }

  @Test
  void everyPairOfPressureUnitsThatDiffersIsNoticed() {
    for (Unit sheet : Unit.of(meniscus.core.quantity.Dimension.PRESSURE)) {
      for (Unit sent : Unit.of(meniscus.core.quantity.Dimension.PRESSURE)) {
        double ratio = sheet.factor() / sent.factor();
        if (Math.abs(ratio - 1) > 0.04) {
          assertTrue(
              WiringFault.ofKnown("it", ratio * 5000, 5000, sheet).isPresent(),
              sheet.symbol() + " for " + sent.symbol());
        }
      }
    }
  }

  private static String name(Optional<WiringFault> fault) {
    return fault.map(found -> found.kind().name()).orElse("");
  }
}
