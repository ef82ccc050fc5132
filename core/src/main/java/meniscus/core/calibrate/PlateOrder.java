package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * In which order plates are mounted: large and small in turn, and the first one again at the end. A
 * bench that drifts while plates are read in rising order looks like a bent curve; only so is the
 * drift seen.
 */
public final class PlateOrder {

  /** With two plates a third mounting costs half as much again and tells little. */
  private static final int FEWEST = 3;

  private PlateOrder() {}

  /** The same plates from the middle outwards, large and small in turn, the first one twice. */
  public static List<Plate> mixed(List<Plate> plates) {
    List<Plate> bySize = new ArrayList<>(plates);
    bySize.sort(Comparator.comparingDouble(plate -> plate.orifice().boreM()));
    List<Plate> order = new ArrayList<>();
    int low = (bySize.size() - 1) / 2;
    int high = low + 1;
    boolean down = true;
    while (low >= 0 || high < bySize.size()) {
      boolean takeLow = low >= 0 && (down || high >= bySize.size());
      order.add(bySize.get(takeLow ? low-- : high++));
      down = !takeLow;
    }
    if (bySize.size() >= FEWEST) {
      order.add(order.get(0));
    }
    return order;
  }
}
