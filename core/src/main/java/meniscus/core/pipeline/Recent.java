package meniscus.core.pipeline;

/** The last second or so of one quantity: enough to say where it is and whether it rests. */
final class Recent {

  private final double spanSeconds;
  private double[] seconds = new double[64];
  private double[] values = new double[64];
  private int first;
  private int count;

  /** Asked for several times between two values; NaN when it is to be worked out. */
  private double mean = Double.NaN;

  /**
   * @param spanSeconds how far back it looks; with slow instruments to the reading before the
   *     newest, however old
   */
  Recent(double spanSeconds) {
    this.spanSeconds = spanSeconds;
  }

  void add(double atSeconds, double value) {
    while (count > 1 && atSeconds - seconds[first] > spanSeconds) {
      first = at(1);
      count--;
    }
    if (count == seconds.length) {
      grow();
    }
    int index = at(count);
    seconds[index] = atSeconds;
    values[index] = value;
    count++;
    mean = Double.NaN;
  }

  void clear() {
    count = 0;
    mean = Double.NaN;
  }

  boolean isEmpty() {
    return count == 0;
  }

  /** Seconds of the newest value. */
  double newest() {
    return seconds[at(count - 1)];
  }

  /** True when it looks back over at least this share of its span. */
  boolean covers(double share) {
    return count > 1 && newest() - seconds[first] >= share * spanSeconds;
  }

  double mean() {
    if (Double.isNaN(mean)) {
      double sum = 0;
      for (int i = 0; i < count; i++) {
        sum += values[at(i)];
      }
      mean = sum / count;
    }
    return mean;
  }

  /** The smallest and the largest value; NaN when there is none. */
  double[] bounds() {
    double low = Double.NaN;
    double high = Double.NaN;
    for (int i = 0; i < count; i++) {
      double value = values[at(i)];
      low = value >= low ? low : value;
      high = value <= high ? high : value;
    }
    return new double[] {low, high};
  }

  /**
   * Change from oldest to newest a second; 0 while there is nothing to compare.
   *
   * @param leastStep and where the mean step in time is shorter than this [s]
   */
  double rate(double leastStep) {
    double span = count < 2 ? 0 : newest() - seconds[first];
    if (span <= 0 || span < leastStep * (count - 1)) {
      return 0;
    }
    int last = at(count - 1);
    return (values[last] - values[first]) / (seconds[last] - seconds[first]);
  }

  /** Mean of the newer half minus mean of the older half: how far it moved. */
  double movement() {
    if (count < 2) {
      return 0;
    }
    int half = count / 2;
    double older = 0;
    double newer = 0;
    for (int i = 0; i < half; i++) {
      older += values[at(i)];
      newer += values[at(count - 1 - i)];
    }
    return (newer - older) / half;
  }

  private int at(int index) {
    return first + index & seconds.length - 1; // a power of two
  }

  private void grow() {
    double[] moreSeconds = new double[2 * count];
    double[] moreValues = new double[2 * count];
    for (int i = 0; i < count; i++) {
      moreSeconds[i] = seconds[at(i)];
      moreValues[i] = values[at(i)];
    }
    seconds = moreSeconds;
    values = moreValues;
    first = 0;
  }
}
