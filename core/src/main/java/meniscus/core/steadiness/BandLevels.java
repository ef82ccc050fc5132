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

  /** Of the series: the mean of the spectra whose middle lies in a tenth of a second. */
  private static final double TENTH_S = 0.1;

  /** Whom each tenth of a second is shown. */
  @FunctionalInterface
  public interface Tenths {
    /** Nobody wants to know. */
    Tenths NONE = (tenth, rms) -> {};

    /**
     * @param tenth whole tenths of a second from the beginning of time to the tenth's own
     * @param rms root mean square of each {@link Band}, NaN where the stream is too slow for it
     */
    void level(long tenth, double[] rms);
  }

  /** What is learned of one band. */
  public record Level(double rms, double standardUncertainty) {}

  private final Band[] bands = Band.values();
  private double[] piece = new double[512];
  private int filled;
  private long taken;
  private double firstS = Double.NaN;
  private double lastS;
  private double pieceEndS;
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

  // The tenth of a second that is under way.
  private final Tenths tenths;
  private final double[] inTenth = new double[bands.length];
  private int tenthSpectra;
  private long tenth;

  public BandLevels() {
    this(Tenths.NONE);
  }

  /**
   * @param tenths is shown each tenth of a second once the next one begins
   */
  public BandLevels(Tenths tenths) {
    this.tenths = tenths;
  }

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
    pieceEndS = atS;
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
    for (int i = 0; i < waiting.length; i++) {
      piece[filled++] = waiting[i];
      pieceEndS = lastS - (waiting.length - 1 - i) / hertz;
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
    beginTenth((long) Math.floor((pieceEndS - 0.5 * length / rateHz) / TENTH_S));
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
      inTenth[b] += of;
    }
    tenthSpectra++;
    spectra++;
    allSpectra++;
  }

  private void beginTenth(long number) {
    if (number == tenth) {
      return;
    }
    if (tenthSpectra > 0) {
      double[] rms = new double[bands.length];
      for (int b = 0; b < rms.length; b++) {
        rms[b] = shows(bands[b]) ? Math.sqrt(inTenth[b] / tenthSpectra) : Double.NaN;
        inTenth[b] = 0;
      }
      tenths.level(tenth, rms);
      tenthSpectra = 0;
    }
    tenth = number;
  }

  /** Whether the stream is quick enough for a band. */
  private boolean shows(Band band) {
    return band.highHz() <= rateHz / 2 + 1;
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
    if (window.length == 0 || seconds < FEWEST_SECONDS || !shows(band)) {
      return Optional.empty();
    }
    int b = band.ordinal();
    double power = all[b] / allSpectra;
    double variance = (squares[b] - sum[b] * sum[b] / seconds) / (seconds - 1);
    double u = Math.sqrt(Math.max(0, variance) / seconds);
    double rms = Math.sqrt(power);
    return Optional.of(new Level(rms, rms > 0 ? u / (2 * rms) : 0));
  }
}
