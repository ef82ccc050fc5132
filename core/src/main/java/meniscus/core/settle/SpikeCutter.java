package meniscus.core.settle;

import java.util.Arrays;

/**
 * Takes spikes out, and counts them. The rule: a reading is a spike when it lies more than {@value
 * #LIMIT} robust standard deviations from the median of the 11 readings around it. The robust
 * standard deviation is 1.4826 times the median distance of readings from such a median, the middle
 * one of the last {@value #MEMORY} windows looked at, and at least one step of resolution. A step
 * is never cut: the median goes with the majority, so what stays longer than 5 readings stays.
 *
 * <p>Readings leave {@value #HALF} later than they came, or as soon as they are no spike whatever
 * comes next: so many readings of a slow gauge are seconds.
 */
public final class SpikeCutter {

  static final double LIMIT = 8; // Student's t of 4 degrees passes it once in 1000 readings
  static final int HALF = 5; // a step of 6 readings is air
  private static final int WIDTH = 2 * HALF + 1; // as many on either side
  private static final int MEMORY = 100; // windows, so that one rough second does not decide
  private static final int FEWEST = 10; // windows that a spread is known from
  private static final int RENEW = 10; // windows: a tenth of the memory is new
  private static final int EVERY = 3; // readings; windows nearer hold the same ones

  /**
   * Windows that hold different readings, twenty in all. Before, one window counted as ten, and one
   * whose readings lay close by chance had every fifth reading after it cut. Our own choice.
   */
  private static final int FEWEST_APART = 4;

  /**
   * A reading within so many deviations of the readings before it is no spike: what comes would
   * have to move the median by five. Our own choice.
   */
  private static final double SURE = 3;

  /** Where readings go that were judged. */
  public interface Next {
    /** A reading; NaN when it was dropped or cut. */
    void reading(double seconds, double value);
  }

  private final Next next;
  private final boolean prompt;
  private final double[] seconds = new double[WIDTH];
  private final double[] values = new double[WIDTH];

  /** The values held, kept in order: sorting them anew at each reading was half of its cost. */
  private final double[] sorted = new double[WIDTH];

  private final double[] spreads = new double[MEMORY];
  private int held;
  private int windows;
  private double deviation;
  private double resolution;
  private int cut;
  private int judged;
  private int open; // the oldest that is held and not judged
  private int fresh = EVERY; // readings since a window was last remembered

  /**
   * @param prompt readings that are surely none leave at once
   */
  public SpikeCutter(Next next, boolean prompt) {
    this.next = next;
    this.prompt = prompt;
  }

  /** Adds a reading that is there. */
  public void add(double second, double value) {
    if (held == WIDTH) {
      takeOut(values[0]);
      System.arraycopy(seconds, 1, seconds, 0, WIDTH - 1);
      System.arraycopy(values, 1, values, 0, WIDTH - 1);
      held--;
      open--;
    }
    putIn(value);
    seconds[held] = second;
    values[held++] = value;
    fresh++;
    if (held < WIDTH) {
      return;
    }
    while (open < held && (open <= HALF || prompt && isSurelyNone(values[open]))) {
      judge(open++);
    }
  }

  private boolean isSurelyNone(double value) {
    double usual = isKnown() ? deviation : spread();
    return Math.abs(value - sorted[held / 2]) <= SURE * Math.max(usual, resolution);
  }

  /** Out of the full window. */
  private void takeOut(double value) {
    int at = 0;
    while (sorted[at] != value) {
      at++;
    }
    System.arraycopy(sorted, at + 1, sorted, at, WIDTH - 1 - at);
  }

  private void putIn(double value) {
    int at = held;
    while (at > 0 && sorted[at - 1] > value) {
      sorted[at] = sorted[at - 1];
      at--;
    }
    sorted[at] = value;
  }

  /** No more readings: judges those still held. */
  public void finish() {
    while (open < held) {
      judge(open++);
    }
    held = 0;
    open = 0;
  }

  /** The smallest step between neighbouring readings so far, 0 while none differed. */
  public void resolution(double step) {
    resolution = step;
  }

  public int cut() {
    return cut;
  }

  public int judged() {
    return judged;
  }

  private void judge(int at) {
    double middle = sorted[held / 2];
    boolean known = isKnown();
    if (prompt ? fresh >= EVERY : !known || judged % EVERY == 0) {
      remember(spread());
      fresh = 0;
    }
    double limit = known ? LIMIT * deviation : 2 * LIMIT * spread(); // twice of this window alone
    boolean spike = Math.abs(values[at] - middle) > Math.max(limit, LIMIT * resolution);
    judged++;
    cut += spike ? 1 : 0;
    next.reading(seconds[at], spike ? Double.NaN : values[at]);
  }

  private boolean isKnown() {
    return windows >= (prompt ? FEWEST_APART : FEWEST);
  }

  /** The median distance from the median: outwards from the middle, the nearer side first. */
  private double spread() {
    int below = held / 2;
    int above = below;
    double middle = sorted[below];
    double distance = 0;
    for (int i = 0; i < held / 2; i++) {
      double down = below > 0 ? middle - sorted[below - 1] : Double.POSITIVE_INFINITY;
      double up = above < held - 1 ? sorted[above + 1] - middle : Double.POSITIVE_INFINITY;
      distance = Math.min(down, up);
      if (down <= up) {
        below--;
      } else {
        above++;
      }
    }
    return 1.4826 * distance;
  }

  private void remember(double spread) {
    spreads[windows++ % MEMORY] = spread;
    if (windows % RENEW == 0 || prompt && windows < RENEW) {
      double[] recent = Arrays.copyOf(spreads, Math.min(windows, MEMORY));
      Arrays.sort(recent);
      deviation = recent[recent.length / 2];
    }
  }
}
