package meniscus.core.steadiness;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** How long a calm run must be depends on how often its gauges read. */
class CalmRunLengthTest {

  private static CalmRun run(double hertz, double seconds) {
    int count = (int) (hertz * seconds);
    return CalmRun.of(
        "plate",
        IntStream.range(0, count).mapToDouble(i -> i / hertz).toArray(),
        IntStream.range(0, count).mapToDouble(i -> 7 + 0.01 * (i % 5)).toArray());
  }

  @Test
  void aBlockOfASlowGaugeIsAReading() {
    assertEquals(41, CalmRecord.shortestSeconds(run(1, 20)), 0.5);
    assertEquals(20.5, CalmRecord.shortestSeconds(run(2, 20)), 0.3);
    assertEquals(100, CalmRecord.properSeconds(run(1, 20)), 1);
  }

  @Test
  void ofAQuickGaugeItIsATenthOfASecond() {
    assertEquals(4.1, CalmRecord.shortestSeconds(run(100, 20)), 0.05);
    assertEquals(10, CalmRecord.properSeconds(run(100, 20)), 0.1);
  }
}
