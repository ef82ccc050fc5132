package meniscus.core.settle;

import java.util.Arrays;

/**
 * Gathers readings into blocks of 100 ms: whole cycles of 50 and of 60 Hz mains alike. Where
 * readings are slower than 20 a second a block is a whole number of readings, where their times
 * come in chunks a whole number of chunks. Memory is bounded: when as many blocks as may be held
 * are full, neighbours are joined and blocks grow twice as long.
 */
public final class Blocks {

  // Our own choice: a fast gauge brings several readings in it.
  public static final double SHORTEST_SECONDS = 0.1;

  /** Ten minutes at first. */
  public static final int MOST = 6000;

  private static final int LOOK_AT = 12; // readings whose median step is the interval; our choice

  /** Readings of one chunk share a moment: their interval shows from chunk to chunk only. */
  private static final int CHUNKS_AT = 6;

  private static final int FEWEST_CHUNKS = 3; // of a slow stream; our own choice
  private static final int LOOK_AT_MOST = 4096; // readings held while all share a moment

  /** Readings nearer than this share of the mean interval came together. */
  private static final double TOGETHER = 0.1;

  /** Readings nearer than this share of a block need not be a whole number of them. */
  private static final double FAST = 0.25;

  /** The last reading of a block lies half a spacing before its end, but for jitter. */
  private static final double PAST_HALF = 0.6;

  private static final int LONGEST_GAP = 600; // blocks: a minute; no settling lasts that long

  private final double shortest;
  private final int most;
  private final boolean prompt;
  private double[] start = new double[128];
  private double[] mean = new double[128];
  private double[] within = new double[128]; // Σ (x - block mean)²
  private int[] count = new int[128];
  private int size;

  private double[] earlySeconds = new double[LOOK_AT];
  private double[] earlyValues = new double[LOOK_AT];
  private int early;
  private int earlyReal;
  private int earlyChunks;

  private double interval = Double.NaN;
  private double spacing = Double.NaN;
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
    this(shortestSeconds, most, false);
  }

  /**
   * @param prompt a block of a slow gauge is closed by its last reading, not by the next one's
   */
  public Blocks(double shortestSeconds, int most, boolean prompt) {
    this.shortest = shortestSeconds;
    this.most = most;
    this.prompt = prompt;
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
    if (early == earlySeconds.length) {
      earlySeconds = Arrays.copyOf(earlySeconds, 2 * early);
      earlyValues = Arrays.copyOf(earlyValues, 2 * early);
    }
    earlyChunks += early == 0 || seconds > earlySeconds[early - 1] ? 1 : 0;
    earlySeconds[early] = seconds;
    earlyValues[early++] = value;
    earlyReal += Double.isNaN(value) ? 0 : 1;
    boolean enough =
        early >= LOOK_AT && earlyChunks >= CHUNKS_AT
            || earlyReal > 2 && earlyChunks >= FEWEST_CHUNKS && seconds - earlySeconds[0] > 2;
    if (enough || early == LOOK_AT_MOST) {
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
    double mean = (earlySeconds[early - 1] - earlySeconds[0]) / (early - 1);
    double[] sorted = steps.clone();
    Arrays.sort(sorted);
    interval = sorted[sorted.length / 2];
    spacing = interval;
    int together = 1;
    if (interval <= TOGETHER * mean) {
      together = learnChunks(steps, TOGETHER * mean);
    }
    interval = Math.max(interval, 1e-6);
    boolean fast = spacing <= FAST * shortest;
    perBlock =
        fast
            ? (int) Math.round(shortest / interval)
            : together * Math.max(1, (int) Math.ceil(shortest / spacing - 0.05));
    length = fast ? shortest : perBlock * interval;
    int held = early;
    early = 0;
    for (int i = 0; i < held; i++) {
      put(earlySeconds[i], earlyValues[i]);
    }
  }

  /**
   * Interval and spacing of readings that come several at once; the last chunk may not be whole.
   *
   * @param steps from reading to reading [s]
   * @param together no longer step parts two readings of a chunk [s]
   * @return readings in a usual chunk
   */
  private int learnChunks(double[] steps, double together) {
    double[] spacings = new double[steps.length];
    double[] intervals = new double[steps.length];
    int chunks = 0;
    int begun = -1;
    for (int i = 0; i < steps.length; i++) {
      if (steps[i] > together) {
        if (begun >= 0) {
          spacings[chunks] = steps[begun];
          intervals[chunks++] = steps[begun] / (i - begun);
        }
        begun = i;
      }
    }
    if (chunks == 0) {
      return 1;
    }
    Arrays.sort(spacings, 0, chunks);
    Arrays.sort(intervals, 0, chunks);
    spacing = spacings[chunks / 2];
    interval = intervals[chunks / 2];
    return Math.max(1, (int) Math.round(spacing / interval));
  }

  private void put(double seconds, double value) {
    if (Double.isNaN(openStart)) {
      openStart = seconds - 0.5 * spacing;
    }
    int gap = 0;
    while (seconds >= openStart + length) {
      close();
      openStart += length;
      if (++gap > LONGEST_GAP) {
        openStart = seconds - 0.5 * spacing;
      }
    }
    if (!Double.isNaN(value)) {
      double d = value - openMean;
      openMean += d / ++openCount;
      openWithin += d * (value - openMean);
    }
    boolean whole = prompt && spacing > FAST * shortest && openCount >= perBlock;
    if (whole && seconds + PAST_HALF * spacing >= openStart + length) {
      close();
      openStart += length;
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

  /** Typical time between moments at which readings come, several at once perhaps [s]. */
  public double spacing() {
    return spacing;
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
