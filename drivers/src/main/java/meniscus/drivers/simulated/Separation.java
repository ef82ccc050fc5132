package meniscus.drivers.simulated;

import java.util.SplittableRandom;

/** Whether the short side's flow is attached or separated just now; jumps at random. */
final class Separation {

  /** Over this time the past is remembered when a short side recovers late [s]. */
  private static final double MEMORY_S = 10;

  /**
   * The test pressure that counts is that of the last seconds: the dead zone fills and empties [s].
   * Without this the pressure's own answer to each jump would move the share of time.
   */
  private static final double ANSWER_S = 2.5;

  private final SplittableRandom random;
  private boolean separated;
  private double share;
  private double memory;
  private double recentMPerS;

  Separation(SplittableRandom random) {
    this.random = random;
  }

  /**
   * @param crowding area over area, of the attached flow and what the short side sees of it
   * @param plainVelocityMPerS flow per effective area now
   */
  void step(
      SimulatedShortSide shortSide, double crowding, double plainVelocityMPerS, double stepS) {
    recentMPerS += (plainVelocityMPerS - recentMPerS) * stepS / ANSWER_S;
    memory += ((separated ? 1 : 0) - memory) * stepS / MEMORY_S;
    share = shortSide.share(crowding * recentMPerS, memory);
    double perS = (separated ? 1 - share : share) / shortSide.relaxationS();
    if (random.nextDouble() < perS * stepS) {
      separated = !separated;
    }
  }

  /** Nothing that could separate. */
  void attach() {
    separated = false;
    share = 0;
    memory = 0;
  }

  boolean separated() {
    return separated;
  }

  double share() {
    return share;
  }
}
