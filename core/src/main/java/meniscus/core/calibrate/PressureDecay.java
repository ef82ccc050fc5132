package meniscus.core.calibrate;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import meniscus.core.bench.Plenum;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Text;
import meniscus.core.refusal.Refusal;

/**
 * Leak from the fall of the test pressure with the blower valved off and everything plugged: q =
 * V/(m · p) · |dp/dt|, the mass balance of a closed volume. m is 1 for air that keeps the walls'
 * temperature and 1.4 for air that exchanges no heat; a fall over seconds lies between, so m = 1.2
 * ± 0.2.
 */
public final class PressureDecay {

  // Middle and rectangular half-width of 1 to 1.4, as above.
  private static final double MIDDLE_M = 1.2;
  private static final double U_M = 0.2 / Math.sqrt(3);
  // Our own choice: each part gives a slope, and the law of a leak has two unknowns.
  private static final int PARTS = 6;
  private static final int FEWEST_IN_PART = 5;

  /** A person reads less often: fewer parts, of no fewer readings than a slope needs. */
  private static final int FEWEST_PARTS_BY_EYE = 2;

  private static final int FEWEST_IN_PART_BY_EYE = 3; // a slope and its doubt

  /** Who presses a key when a column passes a mark misses the moment by this (our own estimate). */
  private static final double U_KEY_SECONDS = 0.2;

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
   * @param readPa standard uncertainty of a single reading by eye [Pa]; 0 for a gauge, whose
   *     scatter tells it
   * @throws Refusal when the pressure does not fall, or there are too few readings
   */
  public static List<LeakReading> readings(
      double[] seconds,
      double[] testPressuresPa,
      Plenum plenum,
      double roomPa,
      Direction direction,
      double readPa) {
    boolean byEye = readPa > 0;
    int fewestInPart = byEye ? FEWEST_IN_PART_BY_EYE : FEWEST_IN_PART;
    int fewest = fewestInPart * (byEye ? FEWEST_PARTS_BY_EYE : PARTS);
    int usable = usable(testPressuresPa);
    if (usable < fewest) {
      throw new Refusal(
          "the pressure fell too fast or was read too seldom: "
              + usable
              + " readings above a tenth of the first, "
              + fewest
              + " are needed. "
              + (byEye ? "Read it more often, or measure" : "Measure")
              + " the leak on the smallest range instead");
    }
    refuseRising(testPressuresPa);
    int parts = Math.min(PARTS, usable / fewestInPart);
    List<LeakReading> readings = new ArrayList<>();
    for (int part = 0; part < parts; part++) {
      int from = part * usable / parts;
      int to = (part + 1) * usable / parts;
      readings.add(reading(seconds, testPressuresPa, from, to, plenum, roomPa, direction, readPa));
    }
    return readings;
  }

  private static void refuseRising(double[] pressures) {
    int tenth = Math.max(1, pressures.length / 10);
    double first = Arrays.stream(pressures).limit(tenth).average().orElse(0);
    double last = Arrays.stream(pressures).skip(pressures.length - tenth).average().orElse(0);
    if (!(first > 0) || last > 1.02 * first) {
      throw new Refusal(
          Text.of(
              "the test pressure went from %.1f Pa to %.1f Pa where it should have fallen: is the"
                  + " blower's valve shut and the blower off?",
              first, last));
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
      Direction direction,
      double readPa) {
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
    double ofScatter = Math.sqrt(left / (n - 2) / tt);
    // The scatter of three readings says little; what each is good for is known.
    double ofReading = readPa > 0 ? Math.hypot(readPa, rate * U_KEY_SECONDS) / Math.sqrt(tt) : 0;
    double uRate = Math.max(ofScatter, ofReading);
    double absolute = direction == Direction.SUCTION ? roomPa - p : roomPa + p;
    double perRate = plenum.volumeM3() / (MIDDLE_M * absolute);
    double flow = -rate * perRate;
    double relative =
        Math.hypot(plenum.standardUncertaintyM3() / plenum.volumeM3(), U_M / MIDDLE_M);
    double common = relative * Math.abs(flow);
    return new LeakReading(p, flow, Math.hypot(Math.max(uRate, 1e-9) * perRate, common), common);
  }
}
