package meniscus.core.time;

import java.util.Arrays;

/** Lower convex hull of points whose numbers rise (Andrew's monotone chain, lower half). */
final class LowerHull {

  /** Only a rate that changes all the time leaves so many corners. */
  private static final int MOST_CORNERS = 64;

  private long[] numbers = new long[16];
  private double[] arrivals = new double[16];
  private int size;
  private long added;

  void clear() {
    size = 0;
    added = 0;
  }

  /** A number that does not rise, as of a sample sent twice, says nothing new. */
  void add(long number, double arrival) {
    added++;
    if (size > 0 && number <= numbers[size - 1]) {
      return;
    }
    while (size > 1 && !turnsUp(number, arrival)) {
      size--;
    }
    if (size == numbers.length) {
      numbers = Arrays.copyOf(numbers, 2 * size);
      arrivals = Arrays.copyOf(arrivals, 2 * size);
    }
    numbers[size] = number;
    arrivals[size++] = arrival;
  }

  /** True when the last corner lies below the way from the one before it to this point. */
  private boolean turnsUp(long number, double arrival) {
    double before = (arrivals[size - 1] - arrivals[size - 2]) * (number - numbers[size - 1]);
    double after = (arrival - arrivals[size - 1]) * (numbers[size - 1] - numbers[size - 2]);
    return after > before;
  }

  void addTo(LowerHull other) {
    for (int i = 0; i < size; i++) {
      other.add(numbers[i], arrivals[i]);
    }
  }

  boolean isFull(double seconds) {
    return size >= MOST_CORNERS || arrivals[size - 1] - arrivals[0] >= seconds;
  }

  /** Points added, corners or not. */
  long added() {
    return added;
  }

  double newest() {
    return arrivals[size - 1];
  }

  long number(int corner) {
    return numbers[corner];
  }

  double arrival(int corner) {
    return arrivals[corner];
  }

  /**
   * The corner at which the edge over the middle in time begins. Not over the middle number: what a
   * port has held since before it was opened comes at once, and may be most of all there is.
   */
  int edgeOverMiddle() {
    double middle = 0.5 * (arrivals[0] + arrivals[size - 1]);
    int edge = 0;
    while (edge < size - 2 && arrivals[edge + 1] < middle) {
      edge++;
    }
    return edge;
  }

  /** Of the edge that begins at a corner; NaN where there is none. */
  double slope(int edge) {
    return edge + 1 < size
        ? (arrivals[edge + 1] - arrivals[edge]) / (numbers[edge + 1] - numbers[edge])
        : Double.NaN;
  }
}
