package meniscus.core.settle;

import java.util.ArrayList;
import java.util.List;

/**
 * What a fluctuation looks like over time, without its size: a sum of independent Gaussian terms
 * whose shares of the variance of one block add up to 1, seen through a gauge.
 *
 * @param terms at least one; white ones are the gauge's own and pass by its mean
 * @param meanSeconds length of the moving mean that the gauge gives; 0 for the air as it is [s]
 */
public record NoiseShape(List<Term> terms, double meanSeconds) {

  /**
   * One term.
   *
   * @param share share of the variance of one block mean, 0…1
   * @param decaySeconds 0 for white noise; else the time after which correlation fell to 1/e [s]
   * @param hertz 0 for plain decay; else natural frequency of a damped oscillation [Hz]
   * @param lagSeconds of a first-order lag behind which a plain decay is seen; 0 for none [s]
   */
  public record Term(double share, double decaySeconds, double hertz, double lagSeconds) {

    public Term {
      if (!(share >= 0 && decaySeconds >= 0 && hertz >= 0 && lagSeconds >= 0)) {
        throw new IllegalArgumentException(
            "a noise term has no negative share, decay, frequency or lag");
      }
      if (lagSeconds > 0 && (decaySeconds == 0 || hertz > 0)) {
        throw new IllegalArgumentException("only a plain decay is seen behind a lag");
      }
      if (hertz > 0 && !(2 * Math.PI * hertz * decaySeconds > 1)) {
        throw new IllegalArgumentException("an oscillation must decay slower than it swings");
      }
    }

    public static Term white(double share) {
      return new Term(share, 0, 0, 0);
    }

    /** Correlation exp(-t/decay): the Ornstein-Uhlenbeck process, AR(1) when sampled. */
    public static Term decaying(double share, double decaySeconds) {
      return new Term(share, decaySeconds, 0, 0);
    }

    /** A mass on a spring shaken by white noise, AR(2) when sampled. */
    public static Term swinging(double share, double decaySeconds, double hertz) {
      return new Term(share, decaySeconds, hertz, 0);
    }

    /**
     * Seen behind a first-order lag. White noise is the gauge's own and passes by it; a swing keeps
     * its line, only smaller, and is left as it is.
     */
    public Term behind(double seconds) {
      return decaySeconds > 0 && hertz == 0 ? new Term(share, decaySeconds, 0, seconds) : this;
    }

    int states() {
      return decaySeconds == 0 ? 0 : hertz == 0 && lagSeconds == 0 ? 1 : 2;
    }

    Term withShare(double other) {
      return new Term(other, decaySeconds, hertz, lagSeconds);
    }
  }

  public NoiseShape {
    terms = List.copyOf(terms);
    double sum = terms.stream().mapToDouble(Term::share).sum();
    if (!(meanSeconds >= 0)) {
      throw new IllegalArgumentException("a gauge's mean is no shorter than 0 s");
    }
    if (terms.isEmpty() || Math.abs(sum - 1) > 1e-6) {
      throw new IllegalArgumentException(
          "the shares of a noise shape add up to " + sum + ", not 1");
    }
  }

  public static NoiseShape of(Term... terms) {
    return new NoiseShape(List.of(terms), 0);
  }

  /** The same with the terms slower than a time made larger or smaller against the others. */
  public NoiseShape slowScaled(double factor, double slowerThanSeconds) {
    double total =
        terms.stream()
            .mapToDouble(t -> t.share * (t.decaySeconds > slowerThanSeconds ? factor : 1))
            .sum();
    return new NoiseShape(
        terms.stream()
            .map(
                t ->
                    t.withShare(
                        t.share * (t.decaySeconds > slowerThanSeconds ? factor : 1) / total))
            .toList(),
        meanSeconds);
  }

  /**
   * The same with other noise above it.
   *
   * @param added its terms, whose shares add up to 1
   * @param times its variance over all that was there
   */
  public NoiseShape with(List<Term> added, double times) {
    List<Term> all = new ArrayList<>();
    terms.forEach(term -> all.add(term.withShare(term.share / (1 + times))));
    added.forEach(term -> all.add(term.withShare(term.share * times / (1 + times))));
    return new NoiseShape(all, meanSeconds);
  }

  /** The same air through a gauge that gives a moving mean. */
  public NoiseShape through(double gaugeMeanSeconds) {
    return new NoiseShape(terms, gaugeMeanSeconds);
  }

  /** The same air through a gauge. */
  public NoiseShape through(GaugeTransfer gauge) {
    return new NoiseShape(
        terms.stream().map(term -> term.behind(gauge.lagSeconds())).toList(), gauge.meanSeconds());
  }

  /** Variance of a long mean of blocks times their number, over the variance of one. */
  public double longRunVariance(double blockSeconds, int readings) {
    return new BlockNoise(this, blockSeconds, readings).longRunVariance();
  }

  int states() {
    return terms.stream().mapToInt(Term::states).sum();
  }
}
