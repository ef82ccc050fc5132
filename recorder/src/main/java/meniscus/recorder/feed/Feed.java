package meniscus.recorder.feed;

import java.util.List;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import meniscus.core.bench.Bench;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.Sweep;
import meniscus.core.pipeline.Frame;
import meniscus.core.time.Moment;

/**
 * The bench's instruments as one stream of happenings, in order: moments never fall. Whoever takes
 * them does so from one thread.
 */
public interface Feed extends AutoCloseable {

  /** One wait for a frame [s]: a stop is looked for as often (our own choice). */
  double FRAME_WAIT_SECONDS = 0.05;

  Bench bench();

  /** The channels of each instrument, in the bench's order. */
  List<List<Channel>> channels();

  /**
   * What happened next.
   *
   * @param waitSeconds how long to wait for it [s]
   * @return empty when nothing happened within that time
   */
  Optional<BenchEvent> next(double waitSeconds) throws InterruptedException;

  /**
   * Waits until every instrument has been heard. Nothing is lost by it: what was heard meanwhile
   * comes out of {@link #next} afterwards.
   *
   * @throws BenchFault when one cannot be heard: which, why, and what to do
   */
  default void hearAll() throws InterruptedException {}

  /**
   * The same, given up when an end is asked for.
   *
   * @param stopped looked at several times a second
   * @throws Stopped when it became true
   */
  default void hearAll(BooleanSupplier stopped) throws InterruptedException {
    hearAll();
  }

  /** True when the bench has an instrument that is read by eye and typed in. */
  default boolean takesTyping() {
    return false;
  }

  /**
   * Why what a person types is no reading of this bench; from any thread.
   *
   * @param readings as {@code 28.1}, {@code test_pressure 27.5..28.7}, or several of them parted by
   *     semicolons
   * @return empty when it is one
   */
  default Optional<String> refusal(String readings) {
    return Optional.of("no instrument of this bench is read by eye");
  }

  /**
   * Takes what a person types, all of it or nothing; from any thread.
   *
   * @return why it is not taken; empty when it is
   */
  default Optional<String> type(String readings) {
    return refusal(readings);
  }

  /** How many readings that were typed have not come out of {@link #next} yet. */
  default int typedAhead() {
    return 0;
  }

  /** The moment now, on the feed's own clock. */
  Moment now();

  /** Tells the bench's operator, where he is simulated, what is wanted of him. */
  default void asks(Asked asked) {}

  /** Has the valve between plenum and blower shut or opened, where the operator is simulated. */
  default void valve(boolean shut) {}

  /**
   * What is wanted at the bench.
   *
   * @param liftM valve lift [m]
   * @param sweep side from which it is approached
   * @param testPressurePa [Pa]; 0 for blower off
   */
  record Asked(double liftM, Sweep sweep, double testPressurePa) {

    /** Blower off, valve shut. */
    public static final Asked NOTHING = new Asked(0, Sweep.OPENING, 0);
  }

  @Override
  void close();

  /**
   * The frame that comes in next, if one does in good time.
   *
   * @throws Stopped when the person wants an end
   */
  default Optional<Frame> frame(GaugeReader reader) throws InterruptedException {
    if (reader.stopped()) {
      throw new Stopped();
    }
    return next(FRAME_WAIT_SECONDS)
        .flatMap(
            happened ->
                happened instanceof BenchEvent.Arrived arrived
                    ? Optional.of(arrived.frame())
                    : Optional.empty());
  }
}
