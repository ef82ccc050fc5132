package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import meniscus.core.bench.Plenum;
import meniscus.core.flow.Direction;

/**
 * Leak from the fall of the test pressure with the blower valved off and everything plugged: q =
 * V/(m · p) · |dp/dt|, the mass balance of a closed volume. m is 1 for air that keeps the walls'
 * temperature and 1.4 for air that exchanges no heat; a fall over seconds lies between, so m = 1.2
 * ± 0.2.
 */
public final class PressureDecay {

  private static final double MIDDLE_M = 1.2;
  private static final double U_M = 0.2 / Math.sqrt(3);
  private static final int PARTS = 6;
  private static final int FEWEST_IN_PART = 5;

  /** The end of the fall is mostly noise. */
  private static final double LEAST_SHARE = 0.1;

  private PressureDecay() {}

  /**
   * Leak readings at a few pressures on the way down.
   *
   * @param seconds of each reading, rising [s]
   * @param testPressuresPa zero subtracted [Pa]
   * @param plenum its volume, adapter and head included
   * @param roomPa absolute [Pa]
   * @throws IllegalArgumentException when the pressure does not fall, or there are too few readings
   */
  public static List<LeakReading> readings(
      double[] seconds,
      double[] testPressuresPa,
      Plenum plenum,
      double roomPa,
      Direction direction) {
    refuseRising(testPressuresPa);
    int usable = usable(testPressuresPa);
    if (usable < PARTS * FEWEST_IN_PART) {
      throw new IllegalArgumentException(
          "the pressure fell too fast or was read too seldom: "
              + usable
              + " readings above a tenth of the first, "
              + PARTS * FEWEST_IN_PART
              + " are needed. Measure the leak on the smallest range instead");
    }
    List<LeakReading> readings = new ArrayList<>();
    for (int part = 0; part < PARTS; part++) {
      int from = part * usable / PARTS;
      int to = (part + 1) * usable / PARTS;
      readings.add(reading(seconds, testPressuresPa, from, to, plenum, roomPa, direction));
    }
    return readings;
  }

  private static void refuseRising(double[] pressures) {
    int tenth = Math.max(1, pressures.length / 10);
    double first = Arrays.stream(pressures).limit(tenth).average().orElse(0);
    double last = Arrays.stream(pressures).skip(pressures.length - tenth).average().orElse(0);
    if (!(first > 0) || last > 1.02 * first) {
      throw new IllegalArgumentException(
          String.format(
              Locale.ROOT,
              "the test pressure went from %.1f Pa to %.1f Pa where it should have fallen: is the"
                  + " blower's valve shut and the blower off?",
              first,
              last));
    }
  }

  private static int usable(double[] pressures) {
    int count = 0;
    while (count < pressures.length && pressures[count] > LEAST_SHARE * pressures[0]) {
      count++;
    }
    return count;
  }

  private static LeakReading reading(
      double[] seconds,
      double[] pressures,
      int from,
      int to,
      Plenum plenum,
      double roomPa,
      Direction direction) {
    int n = to - from;
    double t = 0;
    double p = 0;
    for (int i = from; i < to; i++) {
      t += seconds[i] / n;
      p += pressures[i] / n;
    }
    double tp = 0;
    double tt = 0;
    for (int i = from; i < to; i++) {
      tp += (seconds[i] - t) * (pressures[i] - p);
      tt += (seconds[i] - t) * (seconds[i] - t);
    }
    double rate = tp / tt;
    double left = 0;
    for (int i = from; i < to; i++) {
      double residual = pressures[i] - p - rate * (seconds[i] - t);
      left += residual * residual;
    }
    double uRate = Math.sqrt(left / (n - 2) / tt);
    double absolute = direction == Direction.SUCTION ? roomPa - p : roomPa + p;
    double perRate = plenum.volumeM3() / (MIDDLE_M * absolute);
    double flow = -rate * perRate;
    double relative =
        Math.hypot(plenum.standardUncertaintyM3() / plenum.volumeM3(), U_M / MIDDLE_M);
    double common = relative * Math.abs(flow);
    return new LeakReading(p, flow, Math.hypot(Math.max(uRate, 1e-9) * perRate, common), common);
  }
}
