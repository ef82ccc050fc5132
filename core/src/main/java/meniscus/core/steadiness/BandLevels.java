package meniscus.core.steadiness;

import java.util.Optional;
import org.hipparchus.transform.DftNormalization;
import org.hipparchus.transform.FastFourierTransformer;
import org.hipparchus.transform.TransformType;

/**
 * How loud a fast channel is, band by band: the mean of overlapping spectra (Welch, IEEE Trans.
 * Audio Electroacoust. 15 (1967) 70). Pieces of a tenth of a second or a little more, Hann window,
 * half overlapped, each without its own mean; a new spectrum comes every 0.05 to 0.1 s.
 *
 * <p>A spectrum's own scatter and slow swings of loudness are both in the scatter of one second
 * from the next; that is what the uncertainty is taken from.
 */
public final class BandLevels {

  /** Ten hertz from line to line: the lowest band has eight of them. */
  private static final double PIECE_S = 0.1;

  /** So long the rate of the stream is learned from [s]. */
  private static final double RATE_S = 0.5;

  /** A step this many times the usual one is a gap: no spectrum goes across it. */
  private static final double GAP_STEPS = 2.5;

  /** From this many seconds on their scatter says something. */
  private static final int FEWEST_SECONDS = 4;

  /** A channel slower than this is not fast [Hz]. */
  public static final double SLOWEST_HZ = 200;

  /** What is learned of one band. */
  public record Level(double rms, double standardUncertainty) {}

  private final Band[] bands = Band.values();
  private double[] piece = new double[512];
  private int filled;
  private long taken;
  private double firstS = Double.NaN;
  private double lastS;
  private double[] window = new double[0];
  private double windowPower;
  private double rateHz;

  // The spectra of the second that is under way, and of all whole ones.
  private final double[] second = new double[bands.length];
  private int spectra;
  private long inSecond;
  private final double[] sum = new double[bands.length];
  private final double[] squares = new double[bands.length];
  private final double[] all = new double[bands.length];
  private long allSpectra;
  private int seconds;

  /**
   * The next reading.
   *
   * @param atS when it was taken [s]; never falls
   * @param value NaN for one that was dropped
   */
  public void sample(double atS, double value) {
    boolean known = window.length > 0;
    boolean gap = known && atS - lastS > GAP_STEPS / rateHz;
    if (gap || !Double.isFinite(value)) {
      filled = 0; // whatever lies before it
      if (!known) {
        firstS = Double.NaN;
      }
    }
    lastS = atS;
    if (!Double.isFinite(value)) {
      return;
    }
    if (Double.isNaN(firstS)) {
      firstS = atS;
      taken = 0;
    }
    taken++;
    if (!known) {
      if (filled == piece.length) {
        piece = java.util.Arrays.copyOf(piece, 2 * filled);
      }
      piece[filled++] = value;
      if (atS - firstS >= RATE_S) {
        learnRate((taken - 1) / (atS - firstS));
      }
      return;
    }
    piece[filled++] = value;
    takeWhole();
  }

  private void learnRate(double hertz) {
    rateHz = hertz;
    if (hertz < SLOWEST_HZ) {
      firstS = Double.NaN;
      filled = 0;
      return;
    }
    int length = Integer.highestOneBit(Math.max(2, (int) Math.ceil(PIECE_S * hertz) - 1)) * 2;
    window = hann(length);
    windowPower = 0;
    for (double w : window) {
      windowPower += w * w;
    }
    double[] waiting = java.util.Arrays.copyOf(piece, filled);
    piece = new double[length];
    filled = 0;
    for (double value : waiting) {
      piece[filled++] = value;
      takeWhole();
    }
  }

  /** Hann, periodic: its half-overlapped copies add to one. */
  private static double[] hann(int length) {
    double[] window = new double[length];
    for (int i = 0; i < length; i++) {
      window[i] = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / length);
    }
    return window;
  }

  private void takeWhole() {
    if (filled < window.length) {
      return;
    }
    spectrum();
    int half = window.length / 2;
    System.arraycopy(piece, half, piece, 0, half);
    filled = half;
    inSecond += half;
    if (inSecond >= rateHz) {
      closeSecond();
    }
  }

  private void spectrum() {
    int length = window.length;
    double mean = 0;
    for (double value : piece) {
      mean += value / length;
    }
    double[][] data = new double[2][length];
    for (int i = 0; i < length; i++) {
      data[0][i] = (piece[i] - mean) * window[i];
    }
    FastFourierTransformer.transformInPlace(data, DftNormalization.STANDARD, TransformType.FORWARD);
    double line = rateHz / length;
    for (int b = 0; b < bands.length; b++) {
      double power = 0;
      int from = (int) Math.ceil(bands[b].lowHz() / line - 1e-9);
      int to = (int) Math.ceil(bands[b].highHz() / line - 1e-9);
      for (int k = from; k < Math.min(to, length / 2); k++) {
        power += data[0][k] * data[0][k] + data[1][k] * data[1][k];
      }
      // One-sided density 2|X|²/(rate·Σw²), times the width of a line.
      double of = 2 * power / (rateHz * windowPower) * line;
      second[b] += of;
      all[b] += of;
    }
    spectra++;
    allSpectra++;
  }

  private void closeSecond() {
    for (int b = 0; b < bands.length; b++) {
      double mean = second[b] / spectra;
      sum[b] += mean;
      squares[b] += mean * mean;
      second[b] = 0;
    }
    seconds++;
    spectra = 0;
    inSecond = 0;
  }

  /**
   * Root mean square in a band, in the unit of the readings.
   *
   * @return empty while too little was read, and where the stream is too slow for the band
   */
  public Optional<Level> level(Band band) {
    if (window.length == 0 || seconds < FEWEST_SECONDS || band.highHz() > rateHz / 2 + 1) {
      return Optional.empty();
    }
    int b = band.ordinal();
    double power = all[b] / allSpectra;
    double variance = (squares[b] - sum[b] * sum[b] / seconds) / (seconds - 1);
    double u = Math.sqrt(Math.max(0, variance) / seconds);
    double rms = Math.sqrt(power);
    return Optional.of(new Level(rms, rms > 0 ? u / (2 * rms) : 0));
  }

  /** Readings a second; 0 while it is not known. */
  public double rateHz() {
    return rateHz;
  }
}
