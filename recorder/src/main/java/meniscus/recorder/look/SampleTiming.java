package meniscus.recorder.look;

import java.util.Optional;
import meniscus.core.time.Moment;

/**
 * How evenly an instrument samples by its own count, and how late its lines come: a straight line
 * through the arrivals of one unbroken count.
 */
public final class SampleTiming {

  /** A day at 1 kHz would not fit in memory; a few minutes tell enough. */
  private static final int MOST = 200_000;

  private static final int LEAST = 10;

  private final double[] indices = new double[MOST];
  private final double[] arrivals = new double[MOST];
  private int count;

  /**
   * @param intervalSeconds from one sample to the next
   * @param spreadSeconds by how much the latest line came later than the earliest, against its
   *     sample
   */
  public record Found(double intervalSeconds, double spreadSeconds) {}

  /** The next line's own number; one that does not rise begins a new count. */
  public void add(Moment arrival, double index) {
    if (count > 0 && !(index > indices[count - 1])) {
      count = 0;
    }
    if (count < MOST) {
      indices[count] = index;
      arrivals[count] = arrival.seconds();
      count++;
    }
  }

  /** Empty until there are enough lines of one count. */
  public Optional<Found> found() {
    if (count < LEAST) {
      return Optional.empty();
    }
    double meanIndex = 0;
    double meanArrival = 0;
    for (int i = 0; i < count; i++) {
      meanIndex += indices[i] / count;
      meanArrival += arrivals[i] / count;
    }
    double squares = 0;
    double products = 0;
    for (int i = 0; i < count; i++) {
      squares += (indices[i] - meanIndex) * (indices[i] - meanIndex);
      products += (indices[i] - meanIndex) * (arrivals[i] - meanArrival);
    }
    double interval = products / squares;
    double earliest = Double.POSITIVE_INFINITY;
    double latest = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < count; i++) {
      double late = arrivals[i] - interval * indices[i];
      earliest = Math.min(earliest, late);
      latest = Math.max(latest, late);
    }
    return Optional.of(new Found(interval, latest - earliest));
  }
}
