package meniscus.core.settle;

import java.util.Arrays;

/**
 * Gathers readings into blocks of 100 ms: whole cycles of 50 and of 60 Hz mains alike. Where
 * readings are slower than 20 a second a block is a whole number of readings. Memory is bounded:
 * when as many blocks as may be held are full, neighbours are joined and blocks grow twice as long.
 */
public final class Blocks {

  public static final double SHORTEST_SECONDS = 0.1;

  /** Ten minutes at first. */
  public static final int MOST = 6000;

  private static final int LOOK_AT = 12;
  private static final int LONGEST_GAP = 600;

  private final double shortest;
  private final int most;
  private double[] start = new double[128];
  private double[] mean = new double[128];
  private double[] within = new double[128]; // Σ (x - block mean)²
  private int[] count = new int[128];
  private int size;

  private final double[] earlySeconds = new double[LOOK_AT];
  private final double[] earlyValues = new double[LOOK_AT];
  private int early;
  private int earlyReal;

  private double interval = Double.NaN;
  private double length = Double.NaN;
  private int perBlock;
  private int joined; // how often neighbours were joined

  private double openStart = Double.NaN;
  private double openMean;
  private double openWithin;
  private int openCount;

  /** Blocks of 100 ms for averaging. */
  public Blocks() {
    this(SHORTEST_SECONDS, MOST);
  }

  /**
   * Shorter blocks, to see jumps.
   *
   * @param shortestSeconds length of a block, where readings come faster [s]
   * @param most blocks held, at least 128 and even
   */
  public Blocks(double shortestSeconds, int most) {
    this.shortest = shortestSeconds;
    this.most = most;
  }

  /**
   * Adds a reading.
   *
   * @param seconds its time; never falls [s]
   * @param value NaN for one that was dropped
   */
  public void add(double seconds, double value) {
    if (!Double.isNaN(interval)) {
      put(seconds, value);
      return;
    }
    earlySeconds[early] = seconds;
    earlyValues[early++] = value;
    earlyReal += Double.isNaN(value) ? 0 : 1;
    if (early == LOOK_AT || (earlyReal > 2 && seconds - earlySeconds[0] > 2)) {
      learnInterval();
    }
  }

  /** Closes the look at the first readings when there will be no more of them. */
  public void finish() {
    if (Double.isNaN(interval) && early > 1) {
      learnInterval();
    }
  }

  private void learnInterval() {
    double[] steps = new double[early - 1];
    for (int i = 1; i < early; i++) {
      steps[i - 1] = earlySeconds[i] - earlySeconds[i - 1];
    }
    Arrays.sort(steps);
    interval = Math.max(steps[steps.length / 2], 1e-6);
    boolean fast = interval <= 0.25 * shortest;
    perBlock =
        fast
            ? (int) Math.round(shortest / interval)
            : Math.max(1, (int) Math.ceil(shortest / interval - 0.05));
    length = fast ? shortest : perBlock * interval;
    int held = early;
    early = 0;
    for (int i = 0; i < held; i++) {
      put(earlySeconds[i], earlyValues[i]);
    }
  }

  private void put(double seconds, double value) {
    if (Double.isNaN(openStart)) {
      openStart = seconds - 0.5 * interval;
    }
    int gap = 0;
    while (seconds >= openStart + length) {
      close();
      openStart += length;
      if (++gap > LONGEST_GAP) {
        openStart = seconds - 0.5 * interval;
      }
    }
    if (!Double.isNaN(value)) {
      double d = value - openMean;
      openMean += d / ++openCount;
      openWithin += d * (value - openMean);
    }
  }

  private void close() {
    if (size == most) {
      join();
    }
    if (size == start.length) {
      int more = Math.min(2 * size, most);
      start = Arrays.copyOf(start, more);
      mean = Arrays.copyOf(mean, more);
      within = Arrays.copyOf(within, more);
      count = Arrays.copyOf(count, more);
    }
    boolean enough = 2 * openCount >= perBlock;
    start[size] = openStart;
    mean[size] = enough ? openMean : Double.NaN;
    within[size] = openWithin;
    count[size++] = openCount;
    openMean = 0;
    openWithin = 0;
    openCount = 0;
  }

  private void join() {
    for (int i = 0; i < size / 2; i++) {
      int a = 2 * i;
      int b = a + 1;
      int n = count[a] + count[b];
      boolean both = !Double.isNaN(mean[a]) && !Double.isNaN(mean[b]);
      double d = both ? mean[b] - mean[a] : 0;
      start[i] = start[a];
      mean[i] = both ? mean[a] + d * count[b] / n : Double.isNaN(mean[a]) ? mean[b] : mean[a];
      within[i] = within[a] + within[b] + d * d * count[a] * count[b] / Math.max(n, 1);
      count[i] = n;
    }
    size /= 2;
    length *= 2;
    perBlock *= 2;
    joined++;
  }

  public int size() {
    return size;
  }

  /** Length of a block, NaN until the readings' interval is known [s]. */
  public double seconds() {
    return length;
  }

  /** Typical time between readings, NaN until known [s]. */
  public double interval() {
    return interval;
  }

  /** Readings in a full block. */
  public int perBlock() {
    return perBlock;
  }

  /** Grows when blocks were joined: what was computed from them must be computed again. */
  public int joined() {
    return joined;
  }

  public double start(int i) {
    return start[i];
  }

  /** Mean of a block; NaN when fewer than half its readings came. */
  public double mean(int i) {
    return mean[i];
  }

  /** Variance of the readings inside a block; NaN for fewer than two. */
  public double variance(int i) {
    return count[i] < 2 ? Double.NaN : within[i] / (count[i] - 1);
  }

  public int count(int i) {
    return count[i];
  }
}
