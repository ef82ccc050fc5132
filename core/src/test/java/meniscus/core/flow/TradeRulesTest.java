package meniscus.core.flow;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Factors between test pressures as the trade uses them: common practice, no source. */
class TradeRulesTest {

  @ParameterizedTest
  @CsvSource({
    "10, 28, 1.673",
    "10, 25, 1.581",
    "25, 28, 1.058",
    "20, 28, 1.183",
    "15, 28, 1.366",
    "28, 10, 0.598",
    "12, 28, 1.528"
  })
  void plainRoot(double from, double to, double factor) {
    assertEquals(factor, PressureScaling.ROOT.factor(from, to, 101_325, 1.4, 0), 5e-4);
  }
}
