package meniscus.core.steadiness;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;

/**
 * How loud a fast channel that stays on the bench was on plates, over flow: room and blower, with
 * no port. Between two plates the logarithm of the level runs straight over that of the flow. A
 * little beyond the last one it rises by somewhere between nothing, as a room does, and the flow
 * squared, as a pressure that the air itself makes: by the flow, with the rest as doubt. Further
 * away plates say nothing.
 */
final class PlateLevels {

  /**
   * Flows this much beyond the last plate's, as a logarithm: half as much again. Our own choice.
   */
  private static final double REACH = Math.log(1.5);

  /** An exponent anywhere from 0 to 2 is 1, off by this much (JCGM 100, 4.3.7). */
  private static final double EXPONENT_DOUBT = 1 / Math.sqrt(3);

  /** From reading to reading a level scatters by this share beyond its own uncertainty. */
  private static final double SCATTER = 0.06; // as sizes of calm runs do on the simulated bench

  private record Known(double logFlow, double logLevel, double variance) {}

  private PlateLevels() {}

  /**
   * @param flow in the unit of the runs' means
   */
  static Optional<BandLevels.Level> at(List<CalmRun> runs, Band band, double flow) {
    List<Known> plates = plates(runs, band);
    if (plates.isEmpty() || !(flow > 0)) {
      return Optional.empty();
    }
    double at = Math.log(flow);
    Known low = plates.get(0);
    Known high = plates.get(plates.size() - 1);
    for (Known plate : plates) {
      low = plate.logFlow <= at ? plate : low;
    }
    for (int i = plates.size() - 1; i >= 0; i--) {
      high = plates.get(i).logFlow >= at ? plates.get(i) : high;
    }
    double beyond = Math.max(low.logFlow - at, at - high.logFlow);
    if (beyond > REACH) {
      return Optional.empty();
    }
    if (beyond > 0) {
      Known end = at < low.logFlow ? low : high;
      double off = at - end.logFlow;
      return Optional.of(level(end.logLevel + off, end.variance + square(EXPONENT_DOUBT * off)));
    }
    double apart = high.logFlow - low.logFlow;
    double share = apart > 0 ? (at - low.logFlow) / apart : 0;
    return Optional.of(
        level(
            low.logLevel + share * (high.logLevel - low.logLevel),
            square(1 - share) * low.variance + square(share) * high.variance));
  }

  private static BandLevels.Level level(double log, double variance) {
    double rms = Math.exp(log);
    return new BandLevels.Level(rms, rms * Math.sqrt(variance));
  }

  /** Rising in flow; runs at one flow are put together. */
  private static List<Known> plates(List<CalmRun> runs, Band band) {
    List<Known> all = new ArrayList<>();
    for (CalmRun run : runs) {
      BandLevels.Level level = run.loud().get(band);
      if (level != null && level.rms() > 0 && run.mean() > 0) {
        all.add(
            new Known(
                Math.log(run.mean()),
                Math.log(level.rms()),
                square(SCATTER) + square(level.standardUncertainty() / level.rms())));
      }
    }
    all.sort(Comparator.comparingDouble(Known::logFlow));
    List<Known> plates = new ArrayList<>();
    int from = 0;
    for (int i = 1; i <= all.size(); i++) {
      if (i == all.size() || all.get(i).logFlow - all.get(from).logFlow > SCATTER) {
        plates.add(mean(all.subList(from, i)));
        from = i;
      }
    }
    return plates;
  }

  private static Known mean(List<Known> one) {
    int n = one.size();
    return new Known(
        one.stream().mapToDouble(Known::logFlow).average().orElseThrow(),
        one.stream().mapToDouble(Known::logLevel).average().orElseThrow(),
        one.stream().mapToDouble(Known::variance).sum() / n / n);
  }

  private static double square(double x) {
    return x * x;
  }
}
