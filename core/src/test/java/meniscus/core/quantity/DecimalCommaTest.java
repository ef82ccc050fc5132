package meniscus.core.quantity;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import meniscus.core.refusal.Refusal;
import org.junit.jupiter.api.Test;

/** Quantities as they are typed where the decimal sign is a comma. */
class DecimalCommaTest {

  @Test
  void aDecimalCommaIsNamedWithWhatToWriteInstead() {
    for (String[] typed :
        new String[][] {
          {"0,04 s", "0.04 s"}, {"28,5 inH2O", "28.5 inH2O"}, {"-1,25mm", "-1.25mm"}
        }) {
      Refusal refused =
          assertThrows(Refusal.class, () -> Value.parse(typed[0], Dimension.RATIO), typed[0]);
      assertTrue(refused.getMessage().contains("write \"" + typed[1] + "\""), refused.getMessage());
    }
    assertEquals(28.5, Value.parse("28.5 inH2O", Dimension.PRESSURE).number());
  }
}
