package meniscus.core.time;

import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.Deque;

/**
 * When an instrument that samples evenly took each of its samples, recovered from when they
 * arrived. A sample arrives some time after it was taken, never before, and often several at once;
 * so its clock is the line <em>under</em> the arrivals: the edge over the middle of the lower
 * convex hull of (number, arrival) (Moon, Skelly, Towsley: Estimation and removal of clock skew
 * from network delay measurements, INFOCOM 1999; from memory). The hull is that of the last {@value
 * #SPAN_SECONDS} s, so that a clock which drifts is followed.
 *
 * <p>Lost samples are counted by the step that they leave in the lateness of those after them.
 * Until the clock is known, and for an instrument that does not sample evenly, the moment of
 * arrival stands. Pure: the same arrivals give the same moments.
 */
public final class StreamClock {

  /** Long enough for a rate within some ppm, short enough for a drift of 200 ppm in ten minutes. */
  private static final double SPAN_SECONDS = 40;

  /** A hull is kept in parts of this length, the oldest of which is let go [s]. */
  private static final double PART_SECONDS = 2.5;

  /** Arrivals among which the least late one is looked for: 0.15¹² of 15 % late ones are all so. */
  private static final int WINDOW = 12;

  /** Windows that are remembered to judge evenness and losses. */
  private static final int WINDOWS = 64;

  /** Evenness and losses are told from no fewer windows. */
  private static final int LEAST_WINDOWS = 3;

  /** The hull holds no fewer windows than this, however slow the instrument is. */
  private static final int LEAST_HELD = 8 * WINDOW;

  /** So many arrivals tell the rate … */
  private static final int FIRST_ENDS = 16;

  /** … or so many, over at least {@link #FIRST_SECONDS}. */
  private static final int FEWEST_ENDS = 5;

  /** Adapters hold bytes back for some 16 ms, busy computers for 50 ms: 2.5 % of this [s]. */
  private static final double FIRST_SECONDS = 2;

  /** After a gap the rate from before stands until the arrivals since then tell it as well. */
  private static final int SURE_ENDS = 48;

  private static final double SURE_SECONDS = 10; // 50 ms of delay are 0.5 % of this

  /** The line is drawn anew when arrivals have grown by this share. */
  private static final int REFIT_SHARE = 8;

  /** Samples that arrive within this share of an interval came in one chunk. */
  private static final double SAME_CHUNK = 0.25;

  /** A lasting step of m − 0.35 intervals or more is m lost samples. */
  private static final double LOST_ROUNDING = 0.35;

  /** Even streams stay below 0.2 (one of hundreds reached 0.72), uneven ones above 1.7. */
  private static final double UNEVEN_INTERVALS = 1;

  /** Nine windows in ten are less late than the one that tells evenness. */
  private static final double UNEVEN_QUANTILE = 0.9;

  /** A silence this long is looked at by itself [s] … */
  private static final double GAP_SECONDS = 0.25;

  /** … if it is longer than this many usual ones. */
  private static final double GAP_SPACINGS = 2.2;

  /** A rate is given up when so many gaps in a row leave no time to confirm it. */
  private static final int MOST_ANCHORS = 3;

  /** Forgetting of the usual time between arrivals, and of their scatter. */
  private static final int SPACINGS = 32;

  private static final double SCATTER_WEIGHT = 1 / 256.0; // 256 arrivals: our own choice

  private long count;
  private long index;
  private double origin;
  private double newest;
  private double last;
  private long lost;

  private double period;
  private double offset;
  private boolean even;
  private boolean rateStands;

  private double spacing;
  private int spacings;
  private int anchors;
  private double gap;
  private double meanLate;
  private double scatter;

  private final Deque<LowerHull> parts = new ArrayDeque<>();
  private final LowerHull window = new LowerHull();
  private final long[] windowNumbers = new long[WINDOW];
  private final double[] windowArrivals = new double[WINDOW];
  private int inWindow;
  private final long[] leastNumbers = new long[WINDOWS];
  private final double[] leastArrivals = new double[WINDOWS];
  private int windows;
  private long ends;
  private long fitted;

  public StreamClock() {
    restart();
  }

  /** Forgets all; as when a new segment of a test begins. */
  public void restart() {
    count = 0;
    index = 0;
    lost = 0;
    period = Double.NaN;
    offset = 0;
    even = true;
    spacing = Double.NaN;
    spacings = 0;
    anchors = 0;
    gap = 0;
    scatter = 0;
    meanLate = 0;
    last = Double.NEGATIVE_INFINITY;
    forgetArrivals();
    rateStands = false;
  }

  private void forgetArrivals() {
    parts.clear();
    inWindow = 0;
    windows = 0;
    ends = 0;
    fitted = 0;
    rateStands = true;
  }

  /** {@link #sampled(double, long)} of an instrument that does not number its samples. */
  public double sampled(double arrival) {
    return sampled(arrival, 1);
  }

  /**
   * The next sample.
   *
   * @param arrival when it arrived [s]; never falls
   * @param steps how many samples further it is than the one before, by the instrument's own
   *     counter; 1 where it has none
   * @return when it was taken [s], up to a delay that all samples share; never falls, never later
   *     than the arrival
   */
  public double sampled(double arrival, long steps) {
    if (count == 0) {
      origin = arrival;
    }
    double x = arrival - origin;
    if (count > 0) {
      double since = x - newest;
      if (since > SAME_CHUNK * (isKnown() ? period : newest / Math.max(1, index))) {
        chunkEnded(since);
      }
      index += steps;
    }
    count++;
    newest = x;
    double moment = x;
    if (isEven()) {
      double line = line(index);
      if (x < line - GAP_SPACINGS * Math.max(spacing, period)) {
        anchor(x); // a burst of its memory, or a counter that began anew
      } else if (x < line) {
        offset -= line - x;
      }
      moment = Math.min(x, line(index));
    }
    last = Math.min(arrival, Math.max(last, origin + moment));
    return last;
  }

  /** The line goes through this arrival; the rate is what it was, unless it never fits. */
  private void anchor(double x) {
    forgetArrivals();
    offset = x - period * index;
    if (++anchors > MOST_ANCHORS) {
      anchors = 0;
      period = Double.NaN;
      rateStands = false;
    }
  }

  /** All that came with the newest arrival is here: the next comes later. */
  private void chunkEnded(double since) {
    double late = isKnown() ? newest - line(index) : 0;
    if (gap > 0 && late > 0.5 * (gap - spacing)) {
      lost += Math.max(0, Math.round(late / period));
      anchor(newest);
      late = 0;
    }
    gap = isKnown() && since > Math.max(GAP_SECONDS, GAP_SPACINGS * spacing) ? since : 0;
    spacings = Math.min(SPACINGS, spacings + 1);
    double usual = gap == 0 ? since : Math.min(since, GAP_SPACINGS * spacing);
    spacing = spacings == 1 ? since : spacing + (usual - spacing) / spacings;
    if (isKnown()) {
      double off = late - meanLate;
      meanLate += SCATTER_WEIGHT * off;
      scatter += SCATTER_WEIGHT * (off * off - scatter);
    }
    windowNumbers[inWindow] = index;
    windowArrivals[inWindow++] = newest;
    ends++;
    if (inWindow == WINDOW) {
      closeWindow();
    }
    if (ends - fitted >= Math.max(1, ends / REFIT_SHARE) && tellsRate()) {
      fit();
    }
  }

  private boolean tellsRate() {
    double first = parts.isEmpty() ? windowArrivals[0] : parts.peekFirst().arrival(0);
    double span = newest - first;
    return rateStands
        ? ends >= SURE_ENDS || ends >= WINDOW && span >= SURE_SECONDS
        : ends >= FIRST_ENDS || ends >= FEWEST_ENDS && span >= FIRST_SECONDS;
  }

  private void closeWindow() {
    int least = 0;
    double rate = isKnown() ? period : rateOfWindow();
    for (int i = 1; i < WINDOW; i++) {
      if (windowArrivals[i] - rate * windowNumbers[i]
          < windowArrivals[least] - rate * windowNumbers[least]) {
        least = i;
      }
    }
    if (isEven() && windows >= LEAST_WINDOWS) {
      double step = windowArrivals[least] - line(windowNumbers[least]) - mostLate();
      int missing = (int) Math.floor(step / period + LOST_ROUNDING);
      if (missing > 0) {
        lost += missing;
        index += missing;
        for (int i = 0; i < WINDOW; i++) {
          windowNumbers[i] += missing;
        }
      }
    }
    leastNumbers[windows % WINDOWS] = windowNumbers[least];
    leastArrivals[windows++ % WINDOWS] = windowArrivals[least];
    intoHull();
  }

  private double rateOfWindow() {
    long numbers = windowNumbers[WINDOW - 1] - windowNumbers[0];
    return (windowArrivals[WINDOW - 1] - windowArrivals[0]) / Math.max(1, numbers);
  }

  /** Of the windows remembered, how late the least late arrival of the latest is [s]. */
  private double mostLate() {
    double most = 0;
    for (int i = 0; i < Math.min(windows, WINDOWS); i++) {
      most = Math.max(most, leastArrivals[i] - line(leastNumbers[i]));
    }
    return most;
  }

  private void intoHull() {
    if (parts.isEmpty() || parts.peekLast().isFull(PART_SECONDS)) {
      parts.addLast(new LowerHull());
    }
    LowerHull open = parts.peekLast();
    for (int i = 0; i < WINDOW; i++) {
      open.add(windowNumbers[i], windowArrivals[i]);
    }
    inWindow = 0;
    while (newest - parts.peekFirst().newest() > SPAN_SECONDS
        && ends - parts.peekFirst().added() >= LEAST_HELD) {
      long gone = parts.removeFirst().added();
      ends -= gone;
      fitted -= gone;
    }
  }

  private void fit() {
    fitted = ends;
    window.clear();
    for (LowerHull part : parts) {
      part.addTo(window);
    }
    for (int i = 0; i < inWindow; i++) {
      window.add(windowNumbers[i], windowArrivals[i]);
    }
    int edge = window.edgeOverMiddle();
    double slope = window.slope(edge);
    if (!(slope > 0)) {
      return;
    }
    period = slope;
    offset = window.arrival(edge) - slope * window.number(edge);
    rateStands = false;
    anchors = 0;
    judgeEvenness();
  }

  private void judgeEvenness() {
    long first = parts.isEmpty() ? 0 : parts.peekFirst().number(0);
    double[] late = new double[Math.min(windows, WINDOWS)];
    int held = 0;
    for (int i = 0; i < late.length; i++) {
      if (leastNumbers[i] >= first) {
        late[held++] = (leastArrivals[i] - line(leastNumbers[i])) / period;
      }
    }
    if (held >= LEAST_WINDOWS) {
      Arrays.sort(late, 0, held);
      even = late[(int) (UNEVEN_QUANTILE * (held - 1))] <= UNEVEN_INTERVALS;
    }
  }

  private double line(long number) {
    return offset + period * number;
  }

  private boolean isKnown() {
    return !Double.isNaN(period);
  }

  /** True when moments come from the stream's own clock; else they are arrivals. */
  public boolean isEven() {
    return isKnown() && even;
  }

  /** Time between samples [s]; NaN while it is not known. */
  public double periodSeconds() {
    return isEven() ? period : Double.NaN;
  }

  /** Usual time from arrival to arrival, each of one or several samples [s]; NaN at first. */
  public double spacingSeconds() {
    return spacing;
  }

  /** Samples that never arrived, by the step they left; those that a counter told are not here. */
  public long lost() {
    return lost;
  }

  /**
   * Where a sample that was seen before the clock was known lies on it now [s].
   *
   * @param number 0 for the first since {@link #restart}
   */
  public double moment(long number) {
    return origin + line(number);
  }

  /**
   * Standard uncertainty of a moment against those of another instrument [s]: how the arrivals
   * scatter about the clock; where there is none, a sample may lie anywhere between two arrivals
   * (rectangular, JCGM 100:2008 4.3.7).
   */
  public double standardUncertaintySeconds() {
    if (isEven()) {
      return Math.sqrt(scatter);
    }
    return Double.isNaN(spacing) ? 0 : spacing / Math.sqrt(12);
  }
}
