package meniscus.drivers.sheet;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ScalingTest {

  @Test
  void withoutAWordTheNumberIsTakenAsItIs() {
    assertEquals(27.984, scaling("{}").apply(27.984));
  }

  @Test
  void twoPointsMakeAStraightLineThatGoesOn() {
    Scaling counts = scaling("{'points': [{'raw': 1638, 'is': 0}, {'raw': 14745, 'is': 10}]}");
    assertEquals(0, counts.apply(1638));
    assertEquals(10, counts.apply(14745));
    assertEquals(5, counts.apply((1638 + 14745) / 2.0), 1e-12);
    assertEquals(-1638 / 1310.7, counts.apply(0), 1e-12);
  }

  @Test
  void aTableIsFollowedFromPointToPoint() {
    Scaling bent =
        scaling("{'points': [{'raw': 0, 'is': 0}, {'raw': 10, 'is': 1}, {'raw': 20, 'is': 4}]}");
    assertEquals(0.5, bent.apply(5), 1e-15);
    assertEquals(2.5, bent.apply(15), 1e-15);
    assertEquals(7, bent.apply(30), 1e-15);
  }

  @Test
  void countsAtTheStopAreNoValue() {
    Scaling counts = scaling("{'scale': 0.01, 'raw_least': 1, 'raw_most': 16382}");
    assertTrue(Double.isNaN(counts.apply(0)));
    assertEquals(0.01, counts.apply(1), 1e-15);
    assertEquals(163.82, counts.apply(16382), 1e-12);
    assertTrue(Double.isNaN(counts.apply(16383)));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "{'scale': 0}",
        "{'scale': 2, 'points': [{'raw': 0, 'is': 0}, {'raw': 1, 'is': 1}]}",
        "{'points': [{'raw': 0, 'is': 0}]}",
        "{'points': [{'raw': 1, 'is': 0}, {'raw': 1, 'is': 1}]}",
        "{'points': [{'raw': 1, 'is': 0, 'be': 1}, {'raw': 2, 'is': 1}]}",
        "{'raw_least': 5, 'raw_most': 5}",
      })
  void whatContradictsItselfIsRefused(String members) {
    assertThrows(IllegalArgumentException.class, () -> scaling(members));
  }

  private static Scaling scaling(String members) {
    return Scaling.of(SheetJson.settings("channel", members.replace('\'', '"')));
  }
}
