package meniscus.drivers.simulated;

import java.util.SplittableRandom;

/**
 * The blower and whoever holds the test pressure: a slow regulator that moves the control until the
 * gauge shows the aim.
 */
final class BlowerControl {

  private static final double LOWEST = 1e-3;

  private final Blower blower;
  private final double wander;
  private final double ripple;
  private final double settling;
  private final double heating;
  private final Wander wandering;
  private final double phasePerS;
  private boolean on;
  private double aimPa = 7000;
  private double level;
  private double control;
  private double heat;
  private double phase;

  BlowerControl(Scenario scenario, SplittableRandom random, double stepS) {
    blower = scenario.blower();
    wander = blower.unrest().wander() * scenario.scale(Effect.WANDER);
    ripple = blower.unrest().ripple() * scenario.scale(Effect.RIPPLE);
    settling = scenario.scale(Effect.SETTLING);
    heating = scenario.scale(Effect.MOTOR_HEAT);
    wandering = new Wander(random, blower.unrest().wanderS(), stepS);
    phasePerS = 2 * Math.PI * blower.unrest().rippleHz();
    level = startingLevel();
  }

  void on(boolean running) {
    on = running;
  }

  /** Whether the test pressure is to be where it should be at once. */
  boolean steersItself() {
    return settling == 0;
  }

  /** Moves the control at once as far as the ratio of the pressures says, the rest follows. */
  void aim(double pascals) {
    level = Math.min(1, level * pascals / aimPa);
    aimPa = pascals;
  }

  double aimPa() {
    return aimPa;
  }

  /**
   * @param seenPa test pressure on the gauge
   * @param neededRisePa rise at which the aim is held in the long run; used when settling is off
   * @return rise in plain air without flow [Pa]
   */
  double step(double stepS, double seenPa, double neededRisePa) {
    heat += ((on ? 1 : 0) - heat) * stepS / blower.warmth().upS();
    double fullyUpPa = blower.shutOffPa() * (1 - heating * blower.warmth().fade() * heat);
    if (settling == 0) {
      control = on ? Math.min(1, neededRisePa / fullyUpPa) : 0;
    } else {
      regulate(stepS, seenPa);
    }
    phase = (phase + phasePerS * stepS) % (2 * Math.PI);
    double unrest = 1 + wander * wandering.step() + ripple * Math.sin(phase);
    return control * fullyUpPa * unrest;
  }

  private void regulate(double stepS, double seenPa) {
    double wanted = 0;
    if (on) {
      double error = Math.max(-0.5, Math.min(1 - seenPa / aimPa, 0.5));
      level *= 1 + blower.regulator().perS() / settling * error * stepS;
      level = Math.max(LOWEST, Math.min(level, 1));
      wanted = Math.min(1, level * (1 + blower.regulator().part() * error));
    }
    control += (wanted - control) * Math.min(1, stepS / (blower.spinS() * settling));
  }

  private double startingLevel() {
    return Math.min(1, 1.15 * aimPa / blower.shutOffPa());
  }

  double control() {
    return control;
  }

  /** Warming of blown air by the motor [K]. */
  double motorK() {
    return heating * blower.warmth().motorRiseK() * heat;
  }

  double roomK() {
    return heating * blower.warmth().roomRiseK() * heat;
  }
}
