package meniscus.core.bench;

import meniscus.core.quantity.Coded;
import meniscus.core.quantity.Dimension;

/** What the bench uses a channel for. */
public enum Use implements Coded {
  TEST_PRESSURE(Dimension.PRESSURE),
  ELEMENT_DROP(Dimension.PRESSURE),
  LIFT(Dimension.LENGTH),
  ROOM_TEMPERATURE(Dimension.TEMPERATURE),
  ROOM_PRESSURE(Dimension.PRESSURE),
  ROOM_HUMIDITY(Dimension.RATIO),
  PLENUM_TEMPERATURE(Dimension.TEMPERATURE),
  ELEMENT_TEMPERATURE(Dimension.TEMPERATURE),
  /** A fast pressure near the short side: how loud it is, not how high. */
  FLUCTUATION(Dimension.PRESSURE),
  /** The same of a channel that stays on the bench when a plate is mounted. */
  FLUCTUATION_ON_BENCH(Dimension.PRESSURE),
  /** The velocity head at a probe. */
  PROBE(Dimension.PRESSURE);

  private final Dimension dimension;

  Use(Dimension dimension) {
    this.dimension = dimension;
  }

  public Dimension dimension() {
    return dimension;
  }

  /** True where no flow depends on it. */
  public boolean besideTheFlow() {
    return this == FLUCTUATION || this == FLUCTUATION_ON_BENCH || this == PROBE;
  }

  /** As people read it: {@code test pressure}. */
  public String words() {
    return word().replace('_', ' ');
  }
}
