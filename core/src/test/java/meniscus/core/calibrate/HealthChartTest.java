package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.HealthEntry.Kind;
import meniscus.core.budget.SmallBench;
import org.junit.jupiter.api.Test;

class HealthChartTest {

  private static HealthEntry entry(Kind kind, int epoch, double value, OptionalDouble limit) {
    return new HealthEntry(
        SmallBench.AT,
        epoch,
        kind,
        "P46",
        Optional.empty(),
        Optional.empty(),
        value,
        1,
        0.001,
        limit,
        "");
  }

  private static HealthChart chart(double... values) {
    List<HealthEntry> entries = new ArrayList<>();
    for (double value : values) {
      entries.add(entry(Kind.PLATE_CHECK, 1, value, OptionalDouble.empty()));
    }
    return HealthChart.of(entries);
  }

  /** NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, single values (from memory). */
  @Test
  void limitsOfSingleValues() {
    HealthChart chart = chart(49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1);
    assertEquals(50.81, chart.centre(), 0.005);
    assertEquals(55.8041, chart.line(3), 0.0005);
    assertEquals(45.8159, chart.line(-3), 0.0005);
  }

  @Test
  void aFewChecksAreJudgedByTheirStatedUncertainty() {
    HealthChart chart = chart(1.0005, 0.999, 1.0008);
    assertFalse(chart.learned());
    assertEquals(1.0001 + 0.003, chart.line(3), 1e-12);
    assertTrue(chart.healthy());
    assertFalse(chart(1.0005, 0.999, 1.0012, 1.0002, 1.0049).healthy());
  }

  /**
   * The plate's certificate may be off; the bench is not, as long as it says the same each time.
   */
  @Test
  void aSteadyOffsetWithinTheLimitIsNoSignal() {
    for (int checks = 1; checks <= 30; checks++) {
      List<HealthEntry> entries = new ArrayList<>();
      for (int i = 0; i < checks; i++) {
        double value = 1.004 + (i % 2 == 0 ? 0.0004 : -0.0004);
        entries.add(entry(Kind.PLATE_CHECK, 1, value, OptionalDouble.of(0.008)));
      }
      assertTrue(HealthChart.of(entries).healthy(), checks + " checks");
    }
  }

  @Test
  void twoOfThreeBeyondTheWarningLimitIsASignal() {
    assertTrue(chart(1.0, 1.0, 1.0, 1.0, 1.0027, 1.0).healthy());
    assertFalse(chart(1.0, 1.0, 1.0, 1.0031, 1.0, 1.0032).healthy());
    assertTrue(chart(1.0, 1.0, 1.0, 1.0025, 1.0, 0.9975).healthy());
  }

  @Test
  void aLongRunOnOneSideIsASignal() {
    Random random = new Random(11);
    double[] values = new double[28];
    for (int i = 0; i < values.length; i++) {
      double step = i < 20 ? 0 : 0.0012;
      values[i] = 1 + step + 0.001 * random.nextGaussian();
    }
    assertFalse(chart(values).healthy());
  }

  @Test
  void aLimitOfItsOwnCountsToo() {
    HealthChart chart =
        HealthChart.of(List.of(entry(Kind.PLATE_CHECK, 1, 1.0021, OptionalDouble.of(0.002))));
    assertEquals("outside the limit set for it", chart.signals().get(0).words());
  }
}
