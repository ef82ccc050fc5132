package meniscus.core.settle;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Learns the noise shape of a bench from long calm runs: the sum of few plain terms whose spectrum
 * is likeliest. Whittle's likelihood with the expected periodogram in place of the spectrum, so that
 * short runs do not blur it (Sykulski and others, Biometrika 2019, from memory); shares by the
 * multiplicative ascent of that likelihood, which keeps them at or above zero.
 */
public final class SpectrumFit {

  private static final int LONGEST = 1200; // blocks of one stretch
  private static final int ROUNDS = 300;
  private static final double LEAST_SHARE = 0.004;
  private static final int MOST_TERMS = 7;

  private SpectrumFit() {}

  /**
   * @param runs block means about zero, one array a run; NaN where a block is missing
   * @param blockSeconds length of a block [s]
   * @param readings readings in a block
   */
  public static NoiseShape of(List<double[]> runs, double blockSeconds, int readings) {
    int n = runs.stream().mapToInt(run -> run.length).max().orElse(0);
    for (double[] run : runs) {
      n = run.length >= 100 ? Math.min(n, run.length) : n;
    }
    n = Math.min(n, LONGEST);
    double[] periodogram = new double[n / 2 + 1];
    int stretches = 0;
    for (double[] run : runs) {
      for (int at = 0; at + n <= run.length; at += n) {
        add(filled(Arrays.copyOfRange(run, at, at + n)), periodogram);
        stretches++;
      }
    }
    if (stretches == 0) {
      return NoiseShape.of(NoiseShape.Term.white(1));
    }
    for (int m = 0; m < periodogram.length; m++) {
      periodogram[m] /= stretches;
    }
    return fit(periodogram, n, blockSeconds, readings);
  }

  private static NoiseShape fit(double[] periodogram, int n, double blockSeconds, int readings) {
    List<NoiseShape.Term> terms = dictionary(blockSeconds, n * blockSeconds);
    double[][] spectra = new double[terms.size()][];
    for (int j = 0; j < spectra.length; j++) {
      spectra[j] = expected(terms.get(j), n, blockSeconds, readings);
    }
    double[] shares = new double[spectra.length];
    Arrays.fill(shares, mean(periodogram) / spectra.length);
    ascend(shares, spectra, periodogram);
    keepFew(shares);
    ascend(shares, spectra, periodogram);
    double total = Arrays.stream(shares).sum();
    List<NoiseShape.Term> kept = new ArrayList<>();
    for (int j = 0; j < shares.length; j++) {
      if (shares[j] > 0) {
        kept.add(terms.get(j).withShare(shares[j] / total));
      }
    }
    return new NoiseShape(kept);
  }

  private static List<NoiseShape.Term> dictionary(double blockSeconds, double runSeconds) {
    List<NoiseShape.Term> terms = new ArrayList<>();
    terms.add(NoiseShape.Term.white(1));
    for (double tau = Math.max(0.04, 0.4 * blockSeconds); tau < runSeconds / 4; tau *= 1.5) {
      terms.add(NoiseShape.Term.decaying(1, tau));
    }
    double fastest = 0.5 / blockSeconds;
    for (double hertz = Math.max(0.2, 8 / runSeconds); hertz < fastest; hertz *= 1.2) {
      for (double swings : new double[] {0.3, 0.7, 2, 6}) {
        terms.add(NoiseShape.Term.swinging(1, swings / hertz, hertz));
      }
    }
    return terms;
  }

  private static double[] expected(
      NoiseShape.Term term, int n, double blockSeconds, int readings) {
    double[] gamma =
        new BlockNoise(NoiseShape.of(term), blockSeconds, readings).autocovariance(n);
    double[] cos = cosines(n);
    double[] spectrum = new double[n / 2 + 1];
    for (int m = 1; m < spectrum.length; m++) {
      double sum = gamma[0];
      for (int k = 1, at = m; k < n; k++, at = (at + m) % n) {
        sum += 2 * (1 - (double) k / n) * gamma[k] * cos[at];
      }
      spectrum[m] = Math.max(sum, 1e-12);
    }
    return spectrum;
  }

  /** Adds |Fourier sum|²/n at each frequency but zero. */
  private static void add(double[] x, double[] periodogram) {
    int n = x.length;
    double[] cos = cosines(n);
    for (int m = 1; m < periodogram.length; m++) {
      double re = 0;
      double im = 0;
      int quarter = n - n / 4;
      for (int k = 0, at = 0; k < n; k++, at = (at + m) % n) {
        re += x[k] * cos[at];
        im += x[k] * (n % 4 == 0 ? cos[(at + quarter) % n] : Math.sin(2 * Math.PI * at / n));
      }
      periodogram[m] += (re * re + im * im) / n;
    }
  }

  private static void ascend(double[] shares, double[][] spectra, double[] periodogram) {
    int frequencies = periodogram.length;
    double[] model = new double[frequencies];
    for (int round = 0; round < ROUNDS; round++) {
      Arrays.fill(model, 0);
      for (int j = 0; j < shares.length; j++) {
        for (int m = 1; shares[j] > 0 && m < frequencies; m++) {
          model[m] += shares[j] * spectra[j][m];
        }
      }
      for (int j = 0; j < shares.length; j++) {
        double up = 0;
        double down = 0;
        for (int m = 1; shares[j] > 0 && m < frequencies; m++) {
          double w = spectra[j][m] / model[m];
          down += w;
          up += w * periodogram[m] / model[m];
        }
        shares[j] *= down > 0 ? up / down : 0;
      }
    }
  }

  private static void keepFew(double[] shares) {
    double[] sorted = shares.clone();
    Arrays.sort(sorted);
    double total = Arrays.stream(shares).sum();
    double least = Math.max(LEAST_SHARE * total, sorted[Math.max(0, sorted.length - MOST_TERMS)]);
    for (int j = 0; j < shares.length; j++) {
      shares[j] = shares[j] < least ? 0 : shares[j];
    }
  }

  private static double[] filled(double[] x) {
    double last = 0;
    for (int i = 0; i < x.length; i++) {
      last = Double.isNaN(x[i]) ? last : x[i];
      x[i] = last;
    }
    return x;
  }

  private static double mean(double[] periodogram) {
    double sum = 0;
    for (int m = 1; m < periodogram.length; m++) {
      sum += periodogram[m];
    }
    return sum / (periodogram.length - 1);
  }

  private static double[] cosines(int n) {
    double[] cos = new double[n];
    for (int k = 0; k < n; k++) {
      cos[k] = Math.cos(2 * Math.PI * k / n);
    }
    return cos;
  }
}
