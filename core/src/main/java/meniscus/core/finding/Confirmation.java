package meniscus.core.finding;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;

/**
 * The experiment that settles a suspicion: the test pressure in geometric steps up and down at the
 * suspected lift, and before that at a healthy one, whose slope over pressure is what
 * compressibility alone does to this port.
 *
 * <p>Six pressures over fourfold, up and down: eleven points a lift, under ten minutes for both.
 * More steps find no more that matters, a wider reach makes the slope's doubt larger (simulated:
 * docs/figures.md); the way down shows hysteresis.
 *
 * @param liftM suspected [m]
 * @param controlM a healthy lift [m], when the ladder has one that is near enough
 * @param pressuresPa rising [Pa]
 */
public record Confirmation(double liftM, OptionalDouble controlM, List<Double> pressuresPa) {

  static final int PRESSURES = 6;

  /** Highest over lowest test pressure. */
  static final double REACH = 4;

  /**
   * The healthy lift flows clearly less air than the suspected one, and yet has the port, not the
   * seat, as its smallest section: our own choice.
   */
  private static final double CLEARLY_LOWER = 0.88;

  private static final double STILL_THE_PORTS = 0.6;

  /** What is to be held at one of its points. */
  public record Step(double liftM, double pressurePa) {}

  public Confirmation {
    pressuresPa = List.copyOf(pressuresPa);
  }

  /**
   * At the plan's own test pressure and below.
   *
   * @param liftM suspected [m]
   * @param unhealthyM lifts that are no control [m]
   */
  public static Confirmation of(Plan plan, double liftM, List<Double> unhealthyM) {
    return of(plan, liftM, unhealthyM, plan.testPressurePa());
  }

  /**
   * @param highestPa test pressure that the blower reaches at that lift [Pa]
   */
  public static Confirmation of(
      Plan plan, double liftM, List<Double> unhealthyM, double highestPa) {
    OptionalDouble control =
        plan.ladder().stream()
            .mapToDouble(Rung::liftM)
            .filter(lift -> lift <= CLEARLY_LOWER * liftM && lift >= STILL_THE_PORTS * liftM)
            .filter(lift -> unhealthyM.stream().noneMatch(bad -> Math.abs(bad - lift) < 1e-5))
            .max();
    List<Double> pressures = new ArrayList<>();
    for (int i = 0; i < PRESSURES; i++) {
      pressures.add(highestPa * Math.pow(REACH, (double) i / (PRESSURES - 1) - 1));
    }
    return new Confirmation(liftM, control, pressures);
  }

  /** All points in the order in which they are taken. */
  public List<Step> steps() {
    List<Step> steps = new ArrayList<>();
    controlM.ifPresent(control -> upAndDown(control, steps));
    upAndDown(liftM, steps);
    return steps;
  }

  private void upAndDown(double lift, List<Step> steps) {
    pressuresPa.forEach(pressure -> steps.add(new Step(lift, pressure)));
    List<Double> down = new ArrayList<>(pressuresPa.subList(0, pressuresPa.size() - 1));
    Collections.reverse(down);
    down.forEach(pressure -> steps.add(new Step(lift, pressure)));
  }
}
