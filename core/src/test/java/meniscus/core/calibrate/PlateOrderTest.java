package meniscus.core.calibrate;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;

class PlateOrderTest {

  private static List<String> mixed(double... boresMm) {
    List<Plate> plates =
        Arrays.stream(boresMm)
            .mapToObj(bore -> Plate.byEquation(String.valueOf((int) bore), bore / 1000, 0))
            .toList();
    return PlateOrder.mixed(plates).stream().map(Plate::name).toList();
  }

  @Test
  void largeAndSmallInTurnAndTheFirstAgainAtTheEnd() {
    assertEquals(List.of("28", "36", "20", "44", "28"), mixed(20, 28, 36, 44));
    assertEquals(List.of("28", "36", "20", "44", "12", "28"), mixed(44, 12, 36, 20, 28));
  }

  @Test
  void twoPlatesAreReadOnceEach() {
    assertEquals(List.of("20", "44"), mixed(20, 44));
    assertEquals(List.of("20"), mixed(20));
  }
}
