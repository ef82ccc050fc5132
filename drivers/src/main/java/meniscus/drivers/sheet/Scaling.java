package meniscus.drivers.sheet;

import java.util.Arrays;
import java.util.List;
import meniscus.core.instrument.Settings;
import meniscus.core.refusal.Refusal;

/**
 * From the number an instrument sends to the channel's value: {@code value = scale × raw + offset},
 * or straight lines through given points. Raw numbers beyond given limits mean that the instrument
 * is at its stop: the value is {@code NaN}.
 */
public final class Scaling {

  private final double[] raw;
  private final double[] value;
  private final double rawLeast;
  private final double rawMost;

  private Scaling(double[] raw, double[] value, double rawLeast, double rawMost) {
    this.raw = raw;
    this.value = value;
    this.rawLeast = rawLeast;
    this.rawMost = rawMost;
  }

  /**
   * Reads {@code scale} and {@code offset}, or {@code points}, and {@code raw_least} and {@code
   * raw_most}, of a channel.
   *
   * @throws Refusal when they contradict each other
   */
  public static Scaling of(Settings channel) {
    double least = channel.number("raw_least", Double.NEGATIVE_INFINITY);
    double most = channel.number("raw_most", Double.POSITIVE_INFINITY);
    if (!(least < most)) {
      throw new Refusal(channel.where() + ": \"raw_least\" must be below \"raw_most\"");
    }
    boolean straight = channel.has("scale") | channel.has("offset");
    List<Settings> points = channel.list("points");
    if (points.isEmpty()) {
      double scale = channel.number("scale", 1);
      double offset = channel.number("offset", 0);
      if (scale == 0 || !Double.isFinite(scale) || !Double.isFinite(offset)) {
        throw new Refusal(
            channel.where() + ": \"scale\" must not be 0, and both it and \"offset\" finite");
      }
      return new Scaling(new double[] {scale}, new double[] {offset}, least, most);
    }
    if (straight) {
      throw new Refusal(channel.where() + ": give either \"points\", or \"scale\" and \"offset\"");
    }
    return through(channel.where(), points, least, most);
  }

  private static Scaling through(String where, List<Settings> points, double least, double most) {
    double[] raw = new double[points.size()];
    double[] value = new double[points.size()];
    for (int i = 0; i < raw.length; i++) {
      raw[i] = points.get(i).number("raw");
      value[i] = points.get(i).number("is");
      points.get(i).done();
      if (i > 0 && !(raw[i] > raw[i - 1])) {
        throw new Refusal(where + ": \"points\" must be given in rising order of \"raw\"");
      }
    }
    if (raw.length < 2) {
      throw new Refusal(where + ": \"points\" must be two or more");
    }
    return new Scaling(raw, value, least, most);
  }

  /**
   * The channel's value.
   *
   * @return NaN when the raw number is NaN or beyond the limits; beyond the first and last point
   *     their straight lines go on
   */
  public double apply(double number) {
    if (!(number >= rawLeast && number <= rawMost)) {
      return Double.NaN;
    }
    if (raw.length == 1) {
      return raw[0] * number + value[0];
    }
    int found = Arrays.binarySearch(raw, number);
    if (found >= 0) {
      return value[found];
    }
    int i = Math.max(0, Math.min(-found - 2, raw.length - 2));
    double share = (number - raw[i]) / (raw[i + 1] - raw[i]);
    return value[i] + share * (value[i + 1] - value[i]);
  }
}
