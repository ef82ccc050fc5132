package meniscus.core.finding;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestEvent;

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

  static final int PRESSURES = 6; // as above

  /** Highest over lowest test pressure. */
  static final double REACH = 4;

  /**
   * The healthy lift flows clearly less air than the suspected one, and yet has the port, not the
   * seat, as its smallest section: our own choice.
   */
  private static final double CLEARLY_LOWER = 0.88;

  private static final double STILL_THE_PORTS = 0.6; // below, the seat may rule: our own choice

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
    return of(liftM, control, highestPa);
  }

  private static Confirmation of(double liftM, OptionalDouble controlM, double highestPa) {
    List<Double> pressures = new ArrayList<>();
    for (int i = 0; i < PRESSURES; i++) {
      pressures.add(highestPa * Math.pow(REACH, (double) i / (PRESSURES - 1) - 1));
    }
    return new Confirmation(liftM, controlM, pressures);
  }

  /** As it was begun in a test. */
  public static Confirmation of(TestEvent.Confirm begun) {
    return of(
        begun.liftM(),
        begun.controlM() == begun.liftM()
            ? OptionalDouble.empty()
            : OptionalDouble.of(begun.controlM()),
        begun.highestPa());
  }

  /**
   * As it is written into a test.
   *
   * @param firstRung number of its first rung
   */
  public TestEvent.Confirm begun(int firstRung) {
    return new TestEvent.Confirm(
        liftM, controlM.orElse(liftM), pressuresPa.get(pressuresPa.size() - 1), firstRung);
  }

  /**
   * Its rungs in the order in which they are taken.
   *
   * @param first number of the first
   */
  public List<Rung> rungs(int first) {
    List<Rung> rungs = new ArrayList<>();
    controlM.ifPresent(control -> upAndDown(control, first, rungs));
    upAndDown(liftM, first, rungs);
    return rungs;
  }

  private void upAndDown(double lift, int first, List<Rung> rungs) {
    List<Double> way = new ArrayList<>(pressuresPa);
    List<Double> down = new ArrayList<>(pressuresPa.subList(0, pressuresPa.size() - 1));
    Collections.reverse(down);
    way.addAll(down);
    for (double pressure : way) {
      rungs.add(
          new Rung(
              first + rungs.size(), lift, Sweep.OPENING, OptionalDouble.of(pressure), false, true));
    }
  }

  /** A ladder with the rungs of all experiments that were begun on it. */
  public static List<Rung> added(List<Rung> ladder, List<TestEvent> events) {
    List<Rung> all = new ArrayList<>(ladder);
    for (TestEvent event : events) {
      event
          .what()
          .tell(
              new TestEvent.Reader() {
                @Override
                public void confirm(TestEvent.Confirm begun) {
                  if (all.stream().noneMatch(rung -> rung.number() == begun.firstRung())) {
                    all.addAll(of(begun).rungs(begun.firstRung()));
                  }
                }
              });
    }
    return all;
  }
}
