package meniscus.core.settle;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Learns the noise shape of a bench from long calm runs: the sum of a few plain terms whose
 * spectrum is likeliest. Whittle's likelihood with the expected periodogram in place of the
 * spectrum, so that short runs do not blur it (Sykulski and others, Biometrika 106 (2019), from
 * memory). Terms are added while they help; their shares rise and fall by the multiplicative ascent
 * of that likelihood, which keeps them at or above zero.
 *
 * <p>A gauge that gives a moving mean is found by the zeros that the mean leaves in the spectrum. A
 * first-order lag is told by nobody's spectrum: it and a decay of the air are alike. Where the
 * gauge is known it is taken as told.
 */
public final class SpectrumFit {

  // Where no other reason stands: our own choice, between time and what no longer changed the shape
  // found of simulated noise.
  private static final int LONGEST = 1200; // blocks of one stretch: two minutes

  /** Blocks of a run of ten seconds; shorter runs would shorten all. */
  public static final int SHORTEST = 100;

  private static final int ROUNDS = 400; // of the ascent, whose steps are below 0.001 by then
  private static final double LEAST_HELP = 2; // gain in log likelihood: Akaike's for share and time
  private static final double LEAST_HELP_OF_SWING = 8; // some hundred of them are tried
  private static final double LEAST_GAIN = 0.02; // of log likelihood: not worth a move
  private static final int FEW_ROUNDS = 100; // enough to compare neighbours
  private static final int SPLIT = 4; // steps in the dictionary: times 2.5 up and down
  private static final int MOST_MOVES = 12; // never reached on simulated noise
  private static final double[] SWINGS = {0.25, 0.4, 0.8, 2, 6}; // decay times its hertz
  private static final double LEAST_SHARE = 1e-3; // of the variance; less changes no interval
  private static final int MOST_TERMS = 6; // ten runs of a minute tell no more apart
  private static final double FORGOTTEN = 1e-10; // correlation that counts no more

  /** Lengths of a gauge's own mean that are tried [s]: what hand-held gauges and meters have. */
  private static final double[] GAUGE_MEANS = {0.2, 0.3, 0.4, 0.5, 0.75, 1, 1.25, 1.5, 2};

  /** A mean over fewer blocks leaves no zero in the spectrum that could be seen. */
  private static final double FEWEST_TAPS = 1.9;

  /** As for a swing: a mean must help clearly, for it takes the noise's rhythm away. */
  private static final double LEAST_HELP_OF_GAUGE = 8;

  private final List<NoiseShape.Term> terms;
  private final double meanSeconds;
  private final double[][] spectra;
  private final double[] periodogram;
  private final int stretches;

  /**
   * What was seen.
   *
   * @param periodogram mean of all stretches, by frequency
   * @param blocks in a stretch
   */
  private record Seen(
      double[] periodogram, int blocks, int stretches, double blockSeconds, int readings) {}

  private SpectrumFit(List<NoiseShape.Term> terms, double meanSeconds, Seen seen) {
    this.terms = terms;
    this.meanSeconds = meanSeconds;
    periodogram = seen.periodogram;
    stretches = seen.stretches;
    spectra = new double[terms.size()][];
    for (int j = 0; j < spectra.length; j++) {
      NoiseShape one = NoiseShape.of(terms.get(j)).through(meanSeconds);
      spectra[j] = expected(one, seen.blocks, seen.blockSeconds, seen.readings);
    }
  }

  /**
   * @param runs block means about zero and of like size, one array a run; NaN where a block is
   *     missing
   * @param blockSeconds length of a block [s]
   * @param readings readings in a block
   * @param gauge as far as it is known; a mean that is not known is looked for
   */
  public static NoiseShape of(
      List<double[]> runs, double blockSeconds, int readings, GaugeTransfer gauge) {
    int n = runs.stream().mapToInt(run -> run.length).max().orElse(0);
    for (double[] run : runs) {
      n = run.length >= SHORTEST ? Math.min(n, run.length) : n;
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
    if (stretches == 0 || Arrays.stream(periodogram).sum() <= 0) {
      return NoiseShape.of(NoiseShape.Term.white(1));
    }
    for (int m = 0; m < periodogram.length; m++) {
      periodogram[m] = Math.max(periodogram[m] / stretches, 1e-12);
    }
    double seconds = n * blockSeconds;
    Seen seen = new Seen(periodogram, n, stretches, blockSeconds, readings);
    double lag = gauge.lagSeconds();
    List<NoiseShape.Term> decays = behind(decays(blockSeconds, seconds), lag);
    if (gauge.meanSeconds() > 0) {
      SpectrumFit known = new SpectrumFit(decays, gauge.meanSeconds(), seen);
      return known.shape(known.shares());
    }
    SpectrumFit air = new SpectrumFit(behind(dictionary(blockSeconds, seconds), lag), 0, seen);
    double[] shares = air.shares();
    double best = air.merit(shares) + LEAST_HELP_OF_GAUGE;
    NoiseShape found = air.shape(shares);
    for (double mean : GAUGE_MEANS) {
      if (mean > FEWEST_TAPS * blockSeconds && mean < seconds / 8) {
        SpectrumFit averaged = new SpectrumFit(decays, mean, seen);
        shares = averaged.shares();
        if (averaged.merit(shares) > best) {
          best = averaged.merit(shares);
          found = averaged.shape(shares);
        }
      }
    }
    return found;
  }

  private static List<NoiseShape.Term> behind(List<NoiseShape.Term> terms, double lagSeconds) {
    return terms.stream().map(term -> term.behind(lagSeconds)).toList();
  }

  /** White and decaying noise only: what air is, before a gauge's mean. */
  private static List<NoiseShape.Term> decays(double blockSeconds, double runSeconds) {
    List<NoiseShape.Term> terms = new ArrayList<>();
    terms.add(NoiseShape.Term.white(1));
    for (double tau = Math.max(0.05, 0.25 * blockSeconds); tau < runSeconds / 8; tau *= 1.6) {
      terms.add(NoiseShape.Term.decaying(1, tau));
    }
    return terms;
  }

  private static List<NoiseShape.Term> dictionary(double blockSeconds, double runSeconds) {
    List<NoiseShape.Term> terms = new ArrayList<>();
    terms.add(NoiseShape.Term.white(1));
    for (double tau = Math.max(0.025, 0.25 * blockSeconds); tau < runSeconds / 4; tau *= 1.26) {
      terms.add(NoiseShape.Term.decaying(1, tau));
    }
    double fastest = 0.5 / blockSeconds;
    for (double hertz = Math.max(0.2, 8 / runSeconds); hertz < fastest; hertz *= 1.15) {
      for (double swings : SWINGS) {
        terms.add(NoiseShape.Term.swinging(1, swings / hertz, hertz));
      }
    }
    return terms;
  }

  private NoiseShape shape(double[] shares) {
    double total = Arrays.stream(shares).sum();
    List<NoiseShape.Term> kept = new ArrayList<>();
    for (int j = 0; j < shares.length; j++) {
      if (shares[j] > 0) {
        kept.add(terms.get(j).withShare(shares[j] / total));
      }
    }
    return new NoiseShape(kept, meanSeconds);
  }

  /** The likeliest single term, then what helps most while it helps enough. */
  private double[] shares() {
    double[] shares = new double[spectra.length];
    double best = Double.NEGATIVE_INFINITY;
    for (int j = 0; j < spectra.length; j++) {
      double[] alone = new double[spectra.length];
      alone[j] = 1;
      ascend(alone, 1);
      double log = merit(alone);
      if (log > best) {
        best = log;
        shares = alone;
      }
    }
    shares = moved(shares);
    best = merit(shares);
    for (int count = 1; count < MOST_TERMS; count++) {
      double[] likeliest = null;
      for (double[] more : larger(shares)) {
        ascend(more, ROUNDS);
        double[] trial = moved(more);
        double log = merit(trial);
        if (log > best) {
          best = log;
          likeliest = trial;
        }
      }
      if (likeliest == null) {
        break;
      }
      shares = likeliest;
    }
    double least = LEAST_SHARE * Arrays.stream(shares).sum();
    for (int j = 0; j < shares.length; j++) {
      shares[j] = shares[j] < least ? 0 : shares[j];
    }
    return shares;
  }

  /** Ways to have one term more: what helps most by itself, or one decay split into two. */
  private List<double[]> larger(double[] shares) {
    List<double[]> trials = new ArrayList<>();
    int next = mostHelpful(shares);
    if (next >= 0) {
      double[] more = shares.clone();
      more[next] = 0.05 * Arrays.stream(shares).sum();
      trials.add(more);
    }
    for (int j = SPLIT + 1; j + SPLIT < shares.length; j++) {
      boolean decays = terms.get(j + SPLIT).hertz() == 0;
      if (shares[j] > 0 && decays && shares[j - SPLIT] == 0 && shares[j + SPLIT] == 0) {
        double[] more = shares.clone();
        more[j - SPLIT] = 0.5 * shares[j];
        more[j + SPLIT] = 0.5 * shares[j];
        more[j] = 0;
        trials.add(more);
      }
    }
    return trials;
  }

  /** What all terms in use must help together: an information criterion of our own weights. */
  private double asked(double[] shares) {
    double sum = 0;
    for (int j = 0; j < shares.length; j++) {
      sum += shares[j] > 0 ? help(j) : 0;
    }
    return sum;
  }

  /** A swing must help more than a decay: there are many of them to try. */
  private double help(int term) {
    return terms.get(term).hertz() > 0 ? LEAST_HELP_OF_SWING : LEAST_HELP;
  }

  /** Each term moved to its neighbours in the dictionary while that is likelier. */
  private double[] moved(double[] from) {
    double[] shares = from;
    double best = merit(shares);
    boolean better = true;
    for (int pass = 0; better && pass < MOST_MOVES; pass++) {
      better = false;
      for (int j = 0; j < shares.length; j++) {
        for (int step : new int[] {-SWINGS.length, -1, 1, SWINGS.length}) {
          int k = j + step;
          if (shares[j] == 0 || k < 0 || k >= shares.length || shares[k] > 0) {
            continue;
          }
          double[] other = shares.clone();
          other[k] = other[j];
          other[j] = 0;
          ascend(other, FEW_ROUNDS);
          double log = merit(other);
          if (log > best + LEAST_GAIN) {
            best = log;
            shares = other;
            better = true;
          }
        }
      }
    }
    return shares;
  }

  /** The term not yet used with the largest score test; -1 when none would help. */
  private int mostHelpful(double[] shares) {
    double[] model = model(shares);
    int found = -1;
    double best = 0;
    for (int j = 0; j < spectra.length; j++) {
      double score = 0;
      double information = 0;
      for (int m = 1; m < model.length; m++) {
        double w = spectra[j][m] / model[m];
        score += w * (periodogram[m] / model[m] - 1);
        information += w * w;
      }
      double test = score > 0 ? stretches * score * score / information : 0;
      if (shares[j] == 0 && test > Math.max(best, 2 * help(j))) {
        best = test;
        found = j;
      }
    }
    return found;
  }

  /** Log likelihood less what the terms are asked to help. */
  private double merit(double[] shares) {
    return logLikelihood(shares) - asked(shares);
  }

  private double logLikelihood(double[] shares) {
    double[] model = model(shares);
    double log = 0;
    for (int m = 1; m < model.length; m++) {
      log -= Math.log(model[m]) + periodogram[m] / model[m];
    }
    return log * stretches;
  }

  private double[] model(double[] shares) {
    double[] model = new double[periodogram.length];
    for (int j = 0; j < shares.length; j++) {
      for (int m = 1; shares[j] > 0 && m < model.length; m++) {
        model[m] += shares[j] * spectra[j][m];
      }
    }
    return model;
  }

  private void ascend(double[] shares, int rounds) {
    for (int round = 0; round < rounds; round++) {
      double[] model = model(shares);
      for (int j = 0; j < shares.length; j++) {
        double up = 0;
        double down = 0;
        for (int m = 1; shares[j] > 0 && m < model.length; m++) {
          double w = spectra[j][m] / model[m];
          down += w;
          up += w * periodogram[m] / model[m];
        }
        shares[j] *= down > 0 ? up / down : 0;
      }
    }
  }

  private static double[] expected(NoiseShape one, int n, double blockSeconds, int readings) {
    double[] gamma = new BlockNoise(one, blockSeconds, readings).autocovariance(n);
    double[] cos = circle(n, 0);
    int last = n - 1;
    while (last > 0 && Math.abs(gamma[last]) < FORGOTTEN * gamma[0]) {
      last--;
    }
    for (int k = 1; k <= last; k++) {
      gamma[k] *= 2 * (1 - (double) k / n);
    }
    double[] spectrum = new double[n / 2 + 1];
    for (int m = 1; m < spectrum.length; m++) {
      double sum = gamma[0];
      for (int k = 1, at = m; k <= last; k++) {
        sum += gamma[k] * cos[at];
        at += m;
        at -= at >= n ? n : 0;
      }
      spectrum[m] = Math.max(sum, 1e-12);
    }
    return spectrum;
  }

  /** Adds |Fourier sum|²/n at each frequency but zero. */
  private static void add(double[] x, double[] periodogram) {
    int n = x.length;
    double[] cos = circle(n, 0);
    double[] sin = circle(n, -Math.PI / 2);
    for (int m = 1; m < periodogram.length; m++) {
      double re = 0;
      double im = 0;
      for (int k = 0, at = 0; k < n; k++, at = (at + m) % n) {
        re += x[k] * cos[at];
        im += x[k] * sin[at];
      }
      periodogram[m] += (re * re + im * im) / n;
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

  private static double[] circle(int n, double phase) {
    double[] cos = new double[n];
    for (int k = 0; k < n; k++) {
      cos[k] = Math.cos(2 * Math.PI * k / n + phase);
    }
    return cos;
  }
}
