package meniscus.drivers.simulated;

import java.util.List;
import meniscus.core.air.AirState;
import meniscus.core.flow.Direction;

/**
 * What a scenario's head really flows at one lift, before and after the change: in the long run,
 * perfectly placed, at exactly the lift and test pressure asked for. What the short side loses by
 * separating is in it; turbulence changes no mean.
 *
 * @param liftM [m]
 * @param beforeAreaM2 effective area before [m²]
 * @param afterAreaM2 effective area after [m²]
 * @param beforeM3PerS flow of reference air before [m³/s]
 * @param afterM3PerS flow of reference air after [m³/s]
 */
public record TrueLift(
    double liftM,
    double beforeAreaM2,
    double afterAreaM2,
    double beforeM3PerS,
    double afterM3PerS) {

  /**
   * The truth over a ladder.
   *
   * @param testPressurePa reference test pressure, which the separation is taken at too
   * @param reference air upstream of the port
   */
  public static List<TrueLift> ladder(
      Scenario scenario,
      List<Double> liftsM,
      Direction direction,
      double testPressurePa,
      AirState reference) {
    double ratio = 1 - testPressurePa / reference.pressurePa();
    double expansion =
        Passage.of(new Mounted.Head(scenario.before()))
            .expansion(ratio, Math.pow(ratio, 1 / Air.KAPPA));
    double perArea = expansion * Math.sqrt(2 * testPressurePa / reference.density());
    double plainVelocity = expansion * Math.sqrt(2 * testPressurePa / Air.PLAIN_DENSITY);
    double depthScale = scenario.scale(Effect.SHORT_SIDE);
    return liftsM.stream()
        .map(
            lift -> {
              double before =
                  meanAreaM2(scenario.before(), lift, direction, plainVelocity, depthScale);
              double after =
                  meanAreaM2(scenario.after(), lift, direction, plainVelocity, depthScale);
              return new TrueLift(lift, before, after, before * perArea, after * perArea);
            })
        .toList();
  }

  /** After over before, less 1. */
  public double relativeDifference() {
    return afterM3PerS / beforeM3PerS - 1;
  }

  /**
   * The outcome's word.
   *
   * @param margin differences within ± this count as none [1]
   */
  public String outcome(double margin) {
    double difference = relativeDifference();
    if (Math.abs(difference) <= margin) {
      return "no real change";
    }
    return difference > 0 ? "gain" : "loss";
  }

  private static double meanAreaM2(
      Port port, double liftM, Direction direction, double plainVelocity, double depthScale) {
    Passage passage = Passage.of(new Mounted.Head(port));
    double attached = passage.areaM2(liftM, direction);
    SimulatedShortSide shortSide = port.shortSide();
    if (shortSide.direction() != direction) {
      return attached;
    }
    double share = shortSide.share(attached * plainVelocity * passage.crowding(liftM), 0);
    return attached * (1 - depthScale * shortSide.depth() * share);
  }
}
