package meniscus.core.pipeline;

import java.util.Optional;
import meniscus.core.quantity.Coded;
import meniscus.core.quantity.Worded;
import meniscus.core.steadiness.JudgeSettings;

/**
 * How readings become flow samples. A recorded test is worked out again as it was reckoned when it
 * was taken: what stands in it stays, to the last digit.
 */
public enum Reckoning implements Coded {
  /** Tests up to {@code test/1.1}: at the moment of arrival; two instruments by a fitted clock. */
  BY_ARRIVAL {
    @Override
    ReadingClock clock(boolean amongTwo) {
      return amongTwo ? new SampleClock() : ReadingClock.ofArrival();
    }

    @Override
    boolean belongs(double seconds, RungWindow window) {
      return true;
    }
  },
  /** By the clock of each stream; gauges that stand still are looked for one by one. */
  BY_STREAM,
  /** And with what the bench file says of the drop's gauge: its moving mean and its lag. */
  BY_GAUGE,
  /** And rougher air has the noise of the bench's calm record beneath its own. */
  BY_BENCH;

  /** How tests are reckoned now. */
  public static final Reckoning NOW = BY_BENCH;

  /**
   * The clock of one stream.
   *
   * @param amongTwo true when the other pressure comes from another instrument
   */
  ReadingClock clock(boolean amongTwo) {
    return ReadingClock.ofStream();
  }

  /** Whether a sample is one of a window: what was taken before it opened is not. */
  boolean belongs(double seconds, RungWindow window) {
    return seconds >= window.began().seconds();
  }

  /**
   * How windows are averaged.
   *
   * @param now with all that is known of the gauges
   */
  RungWindow.Rules rules(RungWindow.Rules now) {
    return switch (this) {
      case BY_ARRIVAL, BY_STREAM -> now.asBefore();
      case BY_GAUGE -> now.averaged(JudgeSettings.Averaging.PROMPT);
      case BY_BENCH -> now;
    };
  }

  public static Optional<Reckoning> named(String word) {
    return Worded.named(values(), word);
  }
}
