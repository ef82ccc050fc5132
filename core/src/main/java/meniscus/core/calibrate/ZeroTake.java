package meniscus.core.calibrate;

import java.time.Instant;
import java.util.Arrays;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Function;
import meniscus.core.bench.Source;
import meniscus.core.bench.Zero;
import meniscus.core.quantity.Text;

/**
 * Taking the zero of a gauge, blower off: refused when the reading moves or is far from zero, which
 * both mean that something else than nothing is being read.
 */
public final class ZeroTake {

  /** Parts the readings are cut into, to see whether they move. */
  private static final int PARTS = 8;

  private static final int FEWEST_READINGS = 2 * PARTS; // a mean needs two

  /** A zero may move by this share of the gauge's limits while it is taken (our own choice). */
  private static final double MAY_MOVE = 0.25;

  /** Beyond this share of the range no zero is believed (our own choice). */
  private static final double FARTHEST = 0.05;

  /** Movement that noise alone explains in about 1 of 400 takes. */
  private static final double SIGNIFICANT = 3;

  private ZeroTake() {}

  /** A zero, or why there is none. */
  public sealed interface Outcome {
    default <T> T fold(Function<Taken, T> taken, Function<Refused, T> refused) {
      return this instanceof Taken it ? taken.apply(it) : refused.apply((Refused) this);
    }
  }

  /**
   * @param zero to be stored
   * @param sincePreviousSi change of the offset since the zero before, when there was one [SI]
   */
  public record Taken(Zero zero, OptionalDouble sincePreviousSi) implements Outcome {}

  /**
   * @param reason what was seen and what to do
   */
  public record Refused(String reason) implements Outcome {}

  /**
   * Takes a zero. Each reading counts the same, whenever it came, and the parts that tell whether
   * they move are parts of their number: readings of one stream are evenly spaced in truth, chunks
   * are only their way of arriving, and a gap leaves the order as it is.
   *
   * @param gauge with its limits
   * @param readingsSi as the gauge shows them [SI], in the order in which they were taken
   * @param seconds that they took [s]
   * @param previous zero of this gauge in this epoch, when there is one
   */
  public static Outcome take(
      Source.Measured gauge,
      double[] readingsSi,
      double seconds,
      Optional<Zero> previous,
      Instant at) {
    if (readingsSi.length < FEWEST_READINGS) {
      return new Refused(
          gauge.key()
              + " gave "
              + readingsSi.length
              + " readings; a zero needs "
              + FEWEST_READINGS
              + " or more: wait longer, or look whether the instrument is sending");
    }
    double[] parts = partMeans(readingsSi);
    double mean = Arrays.stream(readingsSi).average().orElseThrow();
    double spread = standardDeviation(parts);
    double moved = slope(parts) * (PARTS - 1);
    double allowed =
        Math.max(MAY_MOVE * gauge.accuracy().halfWidthSi(0), gauge.accuracy().quantumSi());
    double ofNoise = SIGNIFICANT * noiseOfSlope(parts) * (PARTS - 1);
    if (Math.abs(moved) > Math.max(allowed, ofNoise)) {
      return new Refused(
          Text.of(
              "%s moves by %s in %.0f s: is the blower still running down, a door open, or the"
                  + " gauge still warming up? Wait and take the zero again",
              gauge.key(), text(moved, gauge), seconds));
    }
    if (isFar(gauge, mean)) {
      return tooFar(gauge, mean);
    }
    OptionalDouble change = change(previous, mean);
    double repeat = spread / Math.sqrt(PARTS);
    // Until the next zero the offset may move as it did since the last one, or while it was taken.
    double drift =
        Math.max(Math.abs(moved), change.isPresent() ? Math.abs(change.getAsDouble()) : allowed)
            / Math.sqrt(3);
    double quantum = gauge.accuracy().quantumSi() / Math.sqrt(12);
    double u = Math.sqrt(repeat * repeat + drift * drift + quantum * quantum);
    return new Taken(new Zero(mean, u, standardDeviation(readingsSi), at), change);
  }

  /**
   * The same of a column that a person read once, at rest. Nothing of it drifts as electronics do;
   * where its zero was another the last time, it may move so again.
   *
   * @param readingSi as the column shows it [SI], 0 where its scale was set to zero
   * @param halfSwingSi how far it swung to either side [SI]
   */
  public static Outcome byEye(
      Source.Measured gauge,
      double readingSi,
      double halfSwingSi,
      Optional<Zero> previous,
      Instant at) {
    if (isFar(gauge, readingSi)) {
      return tooFar(gauge, readingSi);
    }
    OptionalDouble change = change(previous, readingSi);
    // As for every reading by eye: graduation rectangular, swing arc sine (see InputErrors).
    double quantum = gauge.accuracy().quantumSi() / Math.sqrt(12);
    double swing = halfSwingSi / Math.sqrt(2);
    double drift = change.orElse(0) / Math.sqrt(3);
    double u = Math.sqrt(quantum * quantum + swing * swing + drift * drift);
    return new Taken(new Zero(readingSi, u, 0, at), change);
  }

  private static boolean isFar(Source.Measured gauge, double offsetSi) {
    return Math.abs(offsetSi) > FARTHEST * (gauge.highSi() - gauge.lowSi());
  }

  private static Refused tooFar(Source.Measured gauge, double offsetSi) {
    return new Refused(
        Text.of(
            "%s shows %s with nothing to read, more than %.0f %% of its range: is the blower off,"
                + " and are the hoses free?",
            gauge.key(), text(offsetSi, gauge), 100 * FARTHEST));
  }

  private static OptionalDouble change(Optional<Zero> previous, double offsetSi) {
    return previous
        .map(zero -> OptionalDouble.of(offsetSi - zero.offsetSi()))
        .orElse(OptionalDouble.empty());
  }

  private static double[] partMeans(double[] readings) {
    double[] means = new double[PARTS];
    for (int part = 0; part < PARTS; part++) {
      int from = part * readings.length / PARTS;
      int to = (part + 1) * readings.length / PARTS;
      means[part] = Arrays.stream(readings, from, to).average().orElseThrow();
    }
    return means;
  }

  /** Least-squares slope from part to part. */
  private static double slope(double[] parts) {
    double middle = (PARTS - 1) / 2.0;
    double mean = Arrays.stream(parts).average().orElseThrow();
    double xy = 0;
    double xx = 0;
    for (int i = 0; i < PARTS; i++) {
      xy += (i - middle) * (parts[i] - mean);
      xx += (i - middle) * (i - middle);
    }
    return xy / xx;
  }

  /** Standard deviation of that slope from the scatter about it. */
  private static double noiseOfSlope(double[] parts) {
    double slope = slope(parts);
    double middle = (PARTS - 1) / 2.0;
    double mean = Arrays.stream(parts).average().orElseThrow();
    double left = 0;
    double xx = 0;
    for (int i = 0; i < PARTS; i++) {
      double residual = parts[i] - mean - slope * (i - middle);
      left += residual * residual;
      xx += (i - middle) * (i - middle);
    }
    return Math.sqrt(left / (PARTS - 2) / xx);
  }

  private static double standardDeviation(double[] values) {
    double mean = Arrays.stream(values).average().orElseThrow();
    double sum = Arrays.stream(values).map(v -> (v - mean) * (v - mean)).sum();
    return Math.sqrt(sum / (values.length - 1));
  }

  /** Lift channels are zeroed on a shut valve, in metres; all others are pressures. */
  private static String text(double si, Source.Measured gauge) {
    return gauge.highSi() < 1 ? Text.of("%.3f mm", si * 1e3) : Text.of("%.2f Pa", si);
  }
}
