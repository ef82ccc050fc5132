package meniscus.core.pipeline;

import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import meniscus.core.bench.Use;
import meniscus.core.instrument.Channel;

/** The clocks of the readings whose order in time counts, and how they stand to each other. */
final class ReadingClocks {

  private final Wiring wiring;
  private final Map<Use, ReadingClock> clocks = new EnumMap<>(Use.class);

  /** By instrument, where its frames say which sample they are; −1 where they do not. */
  private final int[] indexColumns;

  private final double[] indices = new double[Use.values().length];

  /**
   * @param channels of each instrument
   */
  ReadingClocks(Wiring wiring, List<List<Channel>> channels) {
    this.wiring = wiring;
    this.indexColumns =
        channels.stream()
            .mapToInt(all -> all.stream().map(Channel::name).toList().indexOf(Channel.SAMPLE_INDEX))
            .toArray();
  }

  /** No clock goes any more. */
  void clear() {
    clocks.clear();
    Arrays.fill(indices, Double.NaN);
  }

  void start(Use use, ReadingClock clock) {
    clocks.put(use, clock);
  }

  /** When a reading that has just arrived was taken [s]. */
  double sampled(Use use, double arrival, Frame frame) {
    ReadingClock clock = clocks.get(use);
    return clock == null ? arrival : clock.sampled(arrival, steps(use, frame));
  }

  /** How many samples further a reading is than the one before, by the instrument's own count. */
  private long steps(Use use, Frame frame) {
    int column = indexColumns[frame.instrument()];
    double index = column < 0 ? Double.NaN : frame.valuesSi()[column];
    double before = indices[use.ordinal()];
    indices[use.ordinal()] = index;
    return index > before ? Math.round(index - before) : 1;
  }

  /**
   * True when two instruments give drop and test pressure: their clocks must be brought together.
   */
  boolean two() {
    return wiring.taps().get(Use.ELEMENT_DROP).instrument()
        != wiring.taps().get(Use.TEST_PRESSURE).instrument();
  }

  /** How well the moments of drop and test pressure are known against each other [s]. */
  double alignmentSeconds() {
    return two()
        ? Math.hypot(
            clocks.get(Use.ELEMENT_DROP).standardUncertaintySeconds(),
            clocks.get(Use.TEST_PRESSURE).standardUncertaintySeconds())
        : 0;
  }

  /** Over times of arrival a rate would be that of the line, not of the air: see the clock's. */
  double leastStepSeconds() {
    double ofPressure = clocks.get(Use.TEST_PRESSURE).leastStepSeconds();
    ReadingClock drop = clocks.get(Use.ELEMENT_DROP);
    return drop == null || Double.isInfinite(ofPressure) ? ofPressure : drop.leastStepSeconds();
  }

  /** The usual time from one arrival of readings to the next [s]; NaN when not known. */
  double spacingSeconds(Use use) {
    ReadingClock clock = clocks.get(use);
    return clock == null ? Double.NaN : clock.spacingSeconds();
  }
}
