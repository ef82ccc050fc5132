package meniscus.core.quantity;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Two digits of an uncertainty, and the value to the same place: JCGM 100:2008, 7.2.6. */
class DigitsTest {

  /** The first two pairs are the examples of JCGM 100:2008, 7.2.2 and 7.2.6. */
  @ParameterizedTest
  @CsvSource({
    "100.02147, 0.00035, 100.02147, 0.00035",
    "10.05762, 0.027, 10.058, 0.027",
    "131.254, 1.93, 131.3, 1.9",
    "131.254, 0.0996, 131.25, 0.10",
    "131.254, 0.996, 131.3, 1.0",
    "131.254, 9.96, 131, 10",
    "131.254, 123.4, 131, 123",
  })
  void anUncertaintyHasTwoDigitsAndItsValueGoesAsFar(
      double value, double u, String shown, String shownU) {
    assertEquals(shown, Digits.value(value, u));
    assertEquals(shownU, Digits.uncertainty(u));
  }

  @Test
  void aSignIsShownUnlessNothingIsLeftToSign() {
    assertEquals("+1.93", Digits.signed(1.934, 0.96));
    assertEquals("-0.31", Digits.signed(-0.31, 0.25));
    assertEquals("0.0", Digits.signed(-0.03, 1.2));
  }

  @Test
  void withoutAnUncertaintyThereIsOneDecimal() {
    assertEquals("131.3", Digits.value(131.254, Double.NaN));
    assertEquals("131.3", Digits.value(131.254, 0));
  }
}
