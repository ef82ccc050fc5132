package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.DoubleFunction;
import meniscus.core.bench.Explanation;
import meniscus.core.bench.Explanation.Kind;
import meniscus.core.bench.Leakage;

/**
 * The explanations that are weighed against each other, with the odds and sizes held beforehand.
 *
 * <p>Odds, our own choice: 6 of 10 calibrations are in order; a plate, a leak or the drop's zero is
 * at fault in about 1 of 10 each, a plate stands the wrong way round in 1 of 25, the rest is rare.
 * A plate's share is divided among the plates, a leak's among its exponents. With 16 rivals a plain
 * information criterion accuses somebody in 44 % of sound calibrations; stated odds do not.
 */
final class Rivals {

  // Odds beforehand, as above; together they make 1.
  private static final double NOTHING = 0.6;
  private static final double PLATE = 0.12;
  private static final double LEAK = 0.1;
  private static final double DROP_ZERO = 0.1;
  private static final double TURNED = 0.04;
  private static final double PRESSURE_ZERO = 0.02;
  private static final double DRIFT = 0.02;

  /** Our own choice: a nicked edge, a burr, a bore measured or a certificate copied wrongly. */
  private static final double PLATE_SPREAD = 0.03;

  /**
   * What a bevelled plate passes more when it stands the wrong way round: the rounded, thick side
   * meets the air. "Several per cent" in the trade; size and spread are our own estimate.
   */
  private static final double TURNED_SIZE = 0.08;

  private static final double TURNED_SPREAD = 0.015; // our own estimate, as the size

  /** 3 cfm at 28 inH2O: a gasket, a plug or a hose (our own choice) [m³/s]. */
  private static final double LEAK_SPREAD_M3_PER_S = 3 * 0.3048 * 0.3048 * 0.3048 / 60;

  /** From a sharp hole to a porous gasket. */
  private static final double[] LEAK_EXPONENTS = {0.5, 1};

  /** 0.06 inH2O: a hose blown through, a gauge knocked or warmed (our own choice) [Pa]. */
  private static final double ZERO_SPREAD_PA = 15;

  // From the first plate to the last: our own choice.
  private static final double DRIFT_SPREAD = 0.015;

  /** A drop, a pressure or a flow that would be gone altogether is taken as nearly gone. */
  private static final double LEAST_LEFT = 0.05;

  private Rivals() {}

  /**
   * None but "nothing is wrong" where one plate alone was read: nothing can be told then, and
   * doubts that nothing was asked about would only widen the result by their priors.
   *
   * @param ratios in the order taken
   * @param bevelled plates that can stand the wrong way round
   * @param leakage that is subtracted, when it was measured: it may have become smaller
   */
  static List<Rival> of(
      List<CorrectionRatio> ratios, Set<String> bevelled, Optional<Leakage> leakage) {
    int n = ratios.size();
    List<Rival> rivals = new ArrayList<>();
    rivals.add(new Rival(Kind.NOTHING, "", NOTHING, List.of()));
    List<Rival> plates = new ArrayList<>();
    List<String> names = ratios.stream().map(ratio -> ratio.plate().name()).distinct().toList();
    if (names.size() == 1) {
      return rivals;
    }
    for (String plate : names) {
      plates.add(
          one(Kind.PLATE, plate, PLATE / names.size(), any(0, PLATE_SPREAD, more(ratios, plate))));
      if (bevelled.contains(plate)) {
        rivals.add(
            one(
                Kind.TURNED,
                plate,
                TURNED / bevelled.size(),
                any(TURNED_SIZE, TURNED_SPREAD, more(ratios, plate))));
      }
    }
    double known = leakage.map(leak -> leak.flowM3PerS(Explanation.LEAK_AT_PA)).orElse(0.0);
    List<Rival> bench = new ArrayList<>();
    for (double exponent : LEAK_EXPONENTS) {
      bench.add(
          one(
              Kind.LEAK,
              "",
              LEAK / LEAK_EXPONENTS.length,
              new Rival.Fault(0, LEAK_SPREAD_M3_PER_S, -known, leak(ratios, exponent))));
    }
    Rival dropZero =
        one(
            Kind.DROP_ZERO,
            "",
            DROP_ZERO,
            any(
                0,
                ZERO_SPREAD_PA,
                each(
                    ratios,
                    (ratio, z) -> -ratio.slopes().perLnDrop() * left(z / ratio.means().dropPa()))));
    List<Rival> two = new ArrayList<>();
    bench.forEach(leak -> two.add(both(leak, dropZero)));
    bench.add(dropZero);
    bench.forEach(fault -> plates.forEach(plate -> two.add(both(fault, plate))));
    rivals.addAll(plates);
    rivals.addAll(bench);
    rivals.addAll(two);
    rivals.add(
        one(
            Kind.PRESSURE_ZERO,
            "",
            PRESSURE_ZERO,
            any(
                0,
                ZERO_SPREAD_PA,
                each(
                    ratios,
                    (ratio, z) ->
                        -ratio.slopes().perLnPressure()
                            * left(z / ratio.means().testPressurePa())))));
    double[] time = times(ratios);
    if (time[n - 1] > time[0]) {
      rivals.add(
          one(
              Kind.DRIFT,
              "",
              DRIFT,
              any(
                  0,
                  DRIFT_SPREAD,
                  size -> Arrays.stream(time).map(place -> size * place).toArray())));
    }
    return rivals;
  }

  private static Rival one(Kind kind, String plate, double odds, Rival.Fault fault) {
    return new Rival(kind, plate, odds, List.of(fault));
  }

  /** Two faults at once, as independent of each other. */
  private static Rival both(Rival a, Rival b) {
    return new Rival(
        Kind.SEVERAL, "", a.odds() * b.odds(), List.of(a.faults().get(0), b.faults().get(0)));
  }

  private static Rival.Fault any(double mean, double spread, DoubleFunction<double[]> effect) {
    return new Rival.Fault(mean, spread, Double.NEGATIVE_INFINITY, effect);
  }

  private static DoubleFunction<double[]> more(List<CorrectionRatio> ratios, String plate) {
    return each(ratios, (ratio, more) -> ratio.plate().name().equals(plate) ? -log(1 + more) : 0);
  }

  private static DoubleFunction<double[]> leak(List<CorrectionRatio> ratios, double exponent) {
    return each(
        ratios,
        (ratio, flow) ->
            -log(
                1
                    + ratio.slopes().perLeak()
                        * flow
                        * Math.pow(
                            ratio.means().testPressurePa() / Explanation.LEAK_AT_PA, exponent)));
  }

  /** ln of what is left of a reading less the share that is not real. */
  private static double left(double share) {
    return log(1 - share);
  }

  private static double log(double share) {
    return Math.log(Math.max(LEAST_LEFT, share));
  }

  private interface OnOne {
    double effect(CorrectionRatio ratio, double size);
  }

  private static DoubleFunction<double[]> each(List<CorrectionRatio> ratios, OnOne one) {
    return size -> ratios.stream().mapToDouble(ratio -> one.effect(ratio, size)).toArray();
  }

  /** Place in the order of mounting, from −1/2 to 1/2; all 0 when one plate alone was mounted. */
  private static double[] times(List<CorrectionRatio> ratios) {
    double[] times = new double[ratios.size()];
    int mounted = 0;
    for (int i = 1; i < times.length; i++) {
      if (!ratios.get(i).plate().name().equals(ratios.get(i - 1).plate().name())) {
        mounted++;
      }
      times[i] = mounted;
    }
    for (int i = 0; i < times.length; i++) {
      times[i] = mounted == 0 ? 0 : times[i] / mounted - 0.5;
    }
    return times;
  }
}
