package meniscus.core.steadiness;

import java.util.Arrays;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * Looks for a line of the mains in readings that are evenly spaced: the largest ordinate of a Hann
 * periodogram near where 100 and 120 Hz (of supplies and motors: twice the mains) and the mains
 * itself would be folded to, against its neighbours; and its four quarters must agree in phase, or
 * a surge of the air at that pace would pass for a line.
 *
 * <p>Simulated (20 s, noise 1.5 %): ripple of 2 % and more found in 97 to 100 of 100 at any alias
 * farther than 0.3 Hz from zero; false lines 0 of 3000 in Gaussian noise, 3 of 3000 in f^-5/3.
 */
final class MainsLine {

  /** How far a folded line may lie from where it should: mains and rate of reading to 0.1 %. */
  private static final double WANDER_HERTZ = 0.15;

  /** Nearer to zero than this a line is no more told from slow air. */
  private static final double LEAST_ALIAS_HERTZ = 0.3;

  /**
   * Nearer to half the rate its mirror image beats with it (simulated: found in 13 of 100 then).
   */
  private static final double LEAST_FROM_NYQUIST_HERTZ = 0.1;

  private static final int FINER = 4; // ordinates a resolved frequency
  private static final int NEIGHBOURS = 24; // to either side
  private static final int NEAREST = 10; // ordinates that the Hann window's own foot covers
  private static final double CHANCE = 1e-3; // of one false line, before the phases are asked
  private static final double MARGIN = 1.15; // the neighbours' level is known to about a tenth

  /** Of a line the quarters' sum is 1, of narrow noise a quarter to a half; chosen by eye. */
  private static final double AGREEING = 0.85;

  /** Readings, the last ones: 20 s at 200 a second; twice as many take four times as long. */
  static final int MOST = 4096;

  private static final int FEWEST = 64; // or no neighbours are left

  /** Shorter than this a line is not told from a swing. */
  private static final double LEAST_SECONDS = 8;

  private static final double[] EITHER = {50, 60, 100, 120}; // either mains, and twice it

  private final double[] values; // 0 where one is missing
  private final double[] windowed;
  private final double weights; // of the window, over the readings that are there
  private final double hertz;

  /**
   * A line in the readings.
   *
   * @param hertz where it shows [Hz]
   * @param amplitude in the unit of the readings
   * @param cosine its part that is largest at the first reading
   * @param sine its part that rises there
   */
  record Line(double hertz, double amplitude, double cosine, double sine) {
    double at(double seconds) {
      double phase = 2 * Math.PI * hertz * seconds;
      return cosine * Math.cos(phase) + sine * Math.sin(phase);
    }
  }

  /**
   * @param values evenly spaced readings less their level, NaN where one is missing
   * @param seconds time between readings [s]
   */
  MainsLine(double[] values, double seconds) {
    this.values = new double[values.length];
    windowed = new double[values.length];
    double sum = 0;
    for (int k = 0; k < values.length; k++) {
      if (!Double.isNaN(values[k])) {
        double hann = 0.5 - 0.5 * Math.cos(2 * Math.PI * k / values.length);
        this.values[k] = values[k];
        windowed[k] = hann * values[k];
        sum += hann;
      }
    }
    weights = sum;
    this.hertz = 1 / seconds;
  }

  /** Where a frequency is folded to by so many readings a second [Hz]. */
  static double alias(double frequency, double rate) {
    return Math.abs(frequency - rate * Math.rint(frequency / rate));
  }

  /**
   * The largest line.
   *
   * @param mainsHertz NaN when not known: 50 and 60 Hz are both minded
   */
  Optional<Line> find(double mainsHertz) {
    if (values.length < LEAST_SECONDS * hertz || values.length < FEWEST) {
      return Optional.empty();
    }
    double[] lines = Double.isNaN(mainsHertz) ? EITHER : new double[] {mainsHertz, 2 * mainsHertz};
    Optional<Line> largest = Optional.empty();
    for (double line : lines) {
      double alias = alias(line, hertz);
      if (alias > LEAST_ALIAS_HERTZ && alias < hertz / 2 - LEAST_FROM_NYQUIST_HERTZ) {
        Optional<Line> found = near(alias);
        if (found.isPresent()
            && (largest.isEmpty() || found.get().amplitude() > largest.get().amplitude())) {
          largest = found;
        }
      }
    }
    return largest;
  }

  private Optional<Line> near(double alias) {
    double grain = hertz / values.length / FINER;
    int reach = (int) Math.ceil(WANDER_HERTZ / grain);
    double[] power = new double[2 * reach + 1];
    int at = 0;
    for (int k = 0; k < power.length; k++) {
      power[k] = power(alias + (k - reach) * grain);
      at = power[k] > power[at] ? k : at;
    }
    double peak = alias + (at - reach) * grain;
    double[] beside = new double[2 * NEIGHBOURS];
    for (int k = 0; k < NEIGHBOURS; k++) {
      double off = (NEAREST + FINER * k) * grain;
      beside[2 * k] = power(folded(peak - off));
      beside[2 * k + 1] = power(folded(peak + off));
    }
    Arrays.sort(beside);
    double level = 0.5 * (beside[NEIGHBOURS - 1] + beside[NEIGHBOURS]) / Math.log(2);
    // Exponential ordinates about a level known from k: F with 2 and 2k degrees of freedom.
    double tries = Math.max(1, 2 * reach / FINER);
    int k = beside.length;
    double limit = k * (Math.pow(CHANCE / tries, -1.0 / k) - 1);
    if (!(power[at] > MARGIN * limit * level)) {
      return Optional.empty();
    }
    double exact = refined(peak, grain);
    return agreeing(exact) ? Optional.of(line(exact)) : Optional.empty();
  }

  private double folded(double frequency) {
    double f = Math.abs(frequency);
    return f > hertz / 2 ? hertz - f : f;
  }

  private double refined(double peak, double grain) {
    double left = power(peak - grain);
    double middle = power(peak);
    double right = power(peak + grain);
    double bend = left - 2 * middle + right;
    double off = bend < 0 ? 0.5 * (left - right) / bend : 0;
    return peak + Math.max(-1, Math.min(1, off)) * grain;
  }

  private boolean agreeing(double frequency) {
    double re = 0;
    double im = 0;
    double squares = 0;
    for (int quarter = 0; quarter < 4; quarter++) {
      double[] part =
          sum(values, frequency, quarter * values.length / 4, (quarter + 1) * values.length / 4);
      re += part[0];
      im += part[1];
      squares += part[0] * part[0] + part[1] * part[1];
    }
    return re * re + im * im > AGREEING * 4 * squares;
  }

  private Line line(double frequency) {
    double[] whole = sum(windowed, frequency, 0, values.length);
    double cosine = 2 * whole[0] / weights;
    double sine = 2 * whole[1] / weights;
    return new Line(frequency, Math.hypot(cosine, sine), cosine, sine);
  }

  private double power(double frequency) {
    double[] whole = sum(windowed, frequency, 0, values.length);
    return whole[0] * whole[0] + whole[1] * whole[1];
  }

  /** Fourier sums with cosine and sine. */
  private double[] sum(double[] of, double frequency, int from, int to) {
    double turn = 2 * Math.PI * frequency / hertz;
    double cos = Math.cos(turn * from);
    double sin = Math.sin(turn * from);
    double c = Math.cos(turn);
    double s = Math.sin(turn);
    double re = 0;
    double im = 0;
    for (int k = from; k < to; k++) {
      re += of[k] * cos;
      im += of[k] * sin;
      double next = cos * c - sin * s;
      sin = sin * c + cos * s;
      cos = next;
    }
    return new double[] {re, im};
  }

  /**
   * The mains frequency that so many readings a second fold so near to zero that averaging may not
   * remove it.
   *
   * @return empty when there is none [Hz]
   */
  static OptionalDouble hidden(double rate, double mainsHertz) {
    double[] mains = Double.isNaN(mainsHertz) ? new double[] {50, 60} : new double[] {mainsHertz};
    return Arrays.stream(mains)
        .filter(line -> rate < 2 * line && alias(line, rate) <= LEAST_ALIAS_HERTZ)
        .findFirst();
  }
}
