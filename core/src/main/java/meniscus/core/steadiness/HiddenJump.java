package meniscus.core.steadiness;

import java.util.SplittableRandom;

/**
 * The largest jump between two levels, each kept 1 s on average, that is overlooked half the time:
 * what a verdict of steady does not rule out.
 */
final class HiddenJump {

  private static final int TRIALS = 20; // the size found is good to about a tenth
  private static final int HALVINGS = 6; // of a range of 100 to 1, to 4 %
  private static final double LARGEST = 50; // calm sizes of a short block
  private static final double STAY_SECONDS = 1; // as slow as what a plenum passes well

  private HiddenJump() {}

  /**
   * @param limits of so many blocks
   * @param noise of those blocks
   * @param jumps the same in short blocks
   * @return over the calm size of a short block
   */
  static double apart(CalmLimits limits, CalmNoise noise, CalmJumps jumps) {
    double seconds = limits.blocks() * noise.gauge().blockSeconds();
    CalmNoise.Gauge gauge = jumps.noise().gauge();
    int points = Math.min(CalmJumps.MOST_POINTS, (int) (seconds / gauge.blockSeconds() + 1e-6));
    int by = Math.max(1, (int) Math.round(noise.gauge().blockSeconds() / gauge.blockSeconds()));
    double limit = jumps.limit(points);
    double low = LARGEST / 100;
    double high = LARGEST;
    for (int step = 0; step < HALVINGS; step++) {
      double apart = Math.sqrt(low * high);
      SplittableRandom random = CalmNoise.random(points + 1);
      int found = 0;
      for (int k = 0; k < TRIALS; k++) {
        double[] drawn = jumps.noise().draw(air(apart, points, gauge, random), random);
        boolean passed =
            jumps.look(drawn, points).ratio() <= limit
                && limits.passedBy(
                    Looks.of(joined(drawn, by, jumps.size()), limits.blocks(), noise));
        found += passed ? 0 : 1;
      }
      if (2 * found >= TRIALS) {
        high = apart;
      } else {
        low = apart;
      }
    }
    return high;
  }

  /** Jumps as the gauge shows them, through its own moving mean and lag. */
  private static double[] air(
      double apart, int points, CalmNoise.Gauge gauge, SplittableRandom random) {
    int over = Math.max(1, (int) Math.round(gauge.transfer().meanSeconds() / gauge.blockSeconds()));
    double leave = 1 - Math.exp(-gauge.blockSeconds() / STAY_SECONDS);
    double[] air = new double[points + over];
    double side = random.nextBoolean() ? 0.5 : -0.5;
    for (int i = 0; i < air.length; i++) {
      side = random.nextDouble() < leave ? -side : side;
      air[i] = side * apart;
    }
    double[] shown = new double[points];
    for (int i = 0; i < points; i++) {
      for (int k = 0; k < over; k++) {
        shown[i] += air[i + k] / over;
      }
    }
    double lag = gauge.transfer().lagSeconds();
    double keep = lag > 0 ? Math.exp(-gauge.blockSeconds() / lag) : 0;
    for (int i = 1; keep > 0 && i < points; i++) {
      shown[i] = keep * shown[i - 1] + (1 - keep) * shown[i];
    }
    return shown;
  }

  private static double[] joined(double[] points, int by, double size) {
    double[] blocks = new double[points.length / by];
    for (int i = 0; i < blocks.length; i++) {
      for (int k = 0; k < by; k++) {
        blocks[i] += size * points[i * by + k] / by;
      }
    }
    return blocks;
  }
}
