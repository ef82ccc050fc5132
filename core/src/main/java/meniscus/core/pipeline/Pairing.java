package meniscus.core.pipeline;

import java.util.ArrayDeque;
import java.util.Deque;

/**
 * Brings drop and test pressure to one moment: each drop gets the pressure of its own moment, once
 * the pressures around it are known.
 */
final class Pairing {

  /**
   * Readings that wait for one of the other gauge; more than this and that gauge is gone: 20 s at
   * 100 a second, our own choice.
   */
  private static final int LONGEST_WAIT = 2000;

  private static final double[] NO_PRESSURE = {Double.NaN, Double.NaN}; // none came yet

  /** Takes what is of one moment. */
  @FunctionalInterface
  interface Pairs {
    void pair(double seconds, double dropPa, double pressurePa);
  }

  private final Deque<double[]> drops = new ArrayDeque<>();
  private final Deque<double[]> pressures = new ArrayDeque<>();
  private final Pairs pairs;
  private double[] before = NO_PRESSURE;

  Pairing(Pairs pairs) {
    this.pairs = pairs;
  }

  void clear() {
    drops.clear();
    pressures.clear();
    before = NO_PRESSURE;
  }

  void drop(double seconds, double pascals) {
    drops.add(new double[] {seconds, pascals});
    if (drops.size() > LONGEST_WAIT) {
      drops.removeFirst();
    }
    pair();
  }

  void pressure(double seconds, double pascals) {
    pressures.add(new double[] {seconds, pascals});
    if (pressures.size() > LONGEST_WAIT) {
      before = pressures.removeFirst();
    }
    pair();
  }

  /** Moment of the newest pressure [s]; negative infinity when there is none. */
  double newestPressureSeconds() {
    double[] newest = pressures.isEmpty() ? before : pressures.peekLast();
    return Double.isNaN(newest[0]) ? Double.NEGATIVE_INFINITY : newest[0];
  }

  private void pair() {
    while (!drops.isEmpty()) {
      double at = drops.peekFirst()[0];
      while (!pressures.isEmpty() && pressures.peekFirst()[0] <= at) {
        before = pressures.removeFirst();
      }
      if (before[0] != at && pressures.isEmpty()) {
        return;
      }
      double dropPa = drops.removeFirst()[1];
      if (before[0] == at) {
        pairs.pair(at, dropPa, before[1]);
      } else if (before[0] < at) {
        double[] after = pressures.peekFirst();
        double share = (at - before[0]) / (after[0] - before[0]);
        pairs.pair(at, dropPa, before[1] + share * (after[1] - before[1]));
      }
    }
  }
}
