package meniscus.core.steadiness;

import java.util.Map;
import meniscus.core.time.StreamTimes;

/**
 * One recording on an orifice plate, where what fluctuates is the bench itself.
 *
 * @param id its name, for messages
 * @param mean mean of the readings; NaN to take it from them
 * @param where it was taken
 * @param loud how loud a fast channel was that stays on the bench; empty where there is none
 * @param seconds times, not falling [s]
 * @param values readings; NaN for dropped ones
 */
public record CalmRun(
    String id,
    double mean,
    Where where,
    Map<Band, BandLevels.Level> loud,
    double[] seconds,
    double[] values) {

  /**
   * What else it depends on.
   *
   * @param range the flow element's range, empty when there is one
   * @param direction suction or blowing, empty when not told apart
   * @param testPressurePa test pressure, NaN when not told [Pa]
   */
  public record Where(String range, String direction, double testPressurePa) {
    /** Nothing is told of it. */
    public static final Where UNTOLD = new Where("", "", Double.NaN);
  }

  public CalmRun {
    if (seconds.length != values.length) {
      throw new IllegalArgumentException(
          "calm run " + id + " has " + seconds.length + " times but " + values.length + " values");
    }
    loud = Map.copyOf(loud);
    seconds = seconds.clone();
    values = values.clone();
  }

  /** A run of which nothing but the readings is known. */
  public static CalmRun of(String id, double[] seconds, double[] values) {
    return new CalmRun(id, Double.NaN, Where.UNTOLD, Map.of(), seconds, values);
  }

  /** The same with other readings. */
  public CalmRun with(double[] otherSeconds, double[] otherValues) {
    return new CalmRun(id, mean, where, loud, otherSeconds, otherValues);
  }

  public String range() {
    return where.range();
  }

  public String direction() {
    return where.direction();
  }

  public double testPressurePa() {
    return where.testPressurePa();
  }

  /** How long it is, its last reading's own interval counted in [s]; 0 for fewer than two. */
  public double lengthSeconds() {
    int n = seconds.length;
    return n < 2 ? 0 : (seconds[n - 1] - seconds[0]) * n / (n - 1);
  }

  /** The same, each reading at the time at which it was taken rather than at which it arrived. */
  CalmRun onOwnClock() {
    double[] taken = new double[seconds.length];
    int[] next = {0};
    StreamTimes times = new StreamTimes((second, value) -> taken[next[0]++] = second);
    for (int i = 0; i < seconds.length; i++) {
      times.reading(seconds[i], values[i]);
    }
    times.finish();
    return with(taken, values);
  }

  @Override
  public double[] seconds() {
    return seconds.clone();
  }

  @Override
  public double[] values() {
    return values.clone();
  }
}
