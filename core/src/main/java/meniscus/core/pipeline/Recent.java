package meniscus.core.pipeline;

/** The last second or so of one quantity: enough to say where it is and whether it rests. */
final class Recent {

  private static final int ROOM = 256;

  private final double spanSeconds;
  private final double[] seconds = new double[ROOM];
  private final double[] values = new double[ROOM];
  private int first;
  private int count;

  /**
   * @param spanSeconds how far back it looks; with fast instruments the newest 256 readings
   */
  Recent(double spanSeconds) {
    this.spanSeconds = spanSeconds;
  }

  void add(double atSeconds, double value) {
    while (count > 0 && atSeconds - seconds[first] > spanSeconds) {
      dropFirst();
    }
    if (count == ROOM) {
      dropFirst();
    }
    int index = (first + count) % ROOM;
    seconds[index] = atSeconds;
    values[index] = value;
    count++;
  }

  void clear() {
    count = 0;
  }

  boolean isEmpty() {
    return count == 0;
  }

  /** Seconds of the newest value. */
  double newest() {
    return seconds[(first + count - 1) % ROOM];
  }

  /** True when it looks back over at least this share of its span. */
  boolean covers(double share) {
    return count > 1 && newest() - seconds[first] >= share * spanSeconds;
  }

  double mean() {
    double sum = 0;
    for (int i = 0; i < count; i++) {
      sum += values[(first + i) % ROOM];
    }
    return sum / count;
  }

  /** Change from oldest to newest a second; 0 while there is nothing to compare. */
  double rate() {
    if (count < 2 || newest() <= seconds[first]) {
      return 0;
    }
    int last = (first + count - 1) % ROOM;
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
      older += values[(first + i) % ROOM];
      newer += values[(first + count - 1 - i) % ROOM];
    }
    return (newer - older) / half;
  }

  private void dropFirst() {
    first = (first + 1) % ROOM;
    count--;
  }
}
