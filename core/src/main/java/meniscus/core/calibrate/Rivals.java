package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.DoubleFunction;
import java.util.stream.Collectors;
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

  private static final double TURNED_SPREAD = 0.015;

  /** 3 cfm at 28 inH2O: a gasket, a plug or a hose (our own choice) [m³/s]. */
  private static final double LEAK_SPREAD_M3_PER_S = 3 * 0.3048 * 0.3048 * 0.3048 / 60;

  /** From a sharp hole to a porous gasket. */
  private static final double[] LEAK_EXPONENTS = {0.5, 1};

  /** 0.06 inH2O: a hose blown through, a gauge knocked or warmed (our own choice) [Pa]. */
  private static final double ZERO_SPREAD_PA = 15;

  private static final double DRIFT_SPREAD = 0.015;

  /** A drop, a pressure or a flow that would be gone altogether is taken as nearly gone. */
  private static final double LEAST_LEFT = 0.05;

  private Rivals() {}

  /**
   * @param ratios in the order taken
   * @param bevelled plates that can stand the wrong way round
   * @param leakage that is subtracted, when it was measured: it may have become smaller
   */
  static List<Rival> of(
      List<CorrectionRatio> ratios, Set<String> bevelled, Optional<Leakage> leakage) {
    List<Rival> rivals = new ArrayList<>();
    rivals.add(new Rival(Kind.NOTHING, "", NOTHING, any(0, 0), theta -> new double[ratios.size()]));
    Set<String> plates =
        ratios.stream().map(ratio -> ratio.plate().name()).collect(Collectors.toUnmodifiableSet());
    for (String plate : plates.stream().sorted().toList()) {
      rivals.add(
          new Rival(
              Kind.PLATE, plate, PLATE / plates.size(), any(0, PLATE_SPREAD), more(ratios, plate)));
      if (bevelled.contains(plate)) {
        rivals.add(
            new Rival(
                Kind.TURNED,
                plate,
                TURNED / bevelled.size(),
                any(TURNED_SIZE, TURNED_SPREAD),
                more(ratios, plate)));
      }
    }
    double known = leakage.map(leak -> leak.flowM3PerS(Explanation.LEAK_AT_PA)).orElse(0.0);
    for (double exponent : LEAK_EXPONENTS) {
      rivals.add(
          new Rival(
              Kind.LEAK,
              "",
              LEAK / LEAK_EXPONENTS.length,
              new Rival.Size(0, LEAK_SPREAD_M3_PER_S, -known),
              leak(ratios, exponent)));
    }
    rivals.add(
        new Rival(
            Kind.DROP_ZERO,
            "",
            DROP_ZERO,
            any(0, ZERO_SPREAD_PA),
            each(
                ratios,
                (ratio, z) -> -ratio.slopes().perLnDrop() * left(z / ratio.means().dropPa()))));
    rivals.add(
        new Rival(
            Kind.PRESSURE_ZERO,
            "",
            PRESSURE_ZERO,
            any(0, ZERO_SPREAD_PA),
            each(
                ratios,
                (ratio, z) ->
                    -ratio.slopes().perLnPressure() * left(z / ratio.means().testPressurePa()))));
    double[] time = times(ratios);
    if (time[time.length - 1] > time[0]) {
      rivals.add(
          new Rival(
              Kind.DRIFT,
              "",
              DRIFT,
              any(0, DRIFT_SPREAD),
              size -> {
                double[] effects = new double[time.length];
                for (int i = 0; i < effects.length; i++) {
                  effects[i] = size * time[i];
                }
                return effects;
              }));
    }
    return rivals;
  }

  private static Rival.Size any(double mean, double spread) {
    return new Rival.Size(mean, spread, Double.NEGATIVE_INFINITY);
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
