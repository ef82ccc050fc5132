package meniscus.core.steadiness;

/** The last readings of a rung, as they came but for spikes. */
final class LastReadings {

  private final double[] seconds = new double[MainsLine.MOST];
  private final double[] values = new double[MainsLine.MOST];
  private long count;

  void add(double second, double value) {
    int at = (int) (count++ % MainsLine.MOST);
    seconds[at] = second;
    values[at] = value;
  }

  int size() {
    return (int) Math.min(count, MainsLine.MOST);
  }

  /** Time of a reading, oldest first. */
  double seconds(int i) {
    return seconds[place(i)];
  }

  /** A reading, oldest first; NaN for one that was cut out. */
  double value(int i) {
    return values[place(i)];
  }

  private int place(int i) {
    return (int) ((count - size() + i) % MainsLine.MOST);
  }
}
