package meniscus.core.finding;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.OptionalDouble;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestEvent;

/**
 * The experiment that settles a suspicion: the test pressure in geometric steps up and down at the
 * suspected lift, and before that at a healthy one, whose slope over pressure is what
 * compressibility alone does to this port.
 *
 * <p>Six pressures over fourfold, up and down: eleven points a lift, under ten minutes for both;
 * five where gauges are so slow that six would take longer. More steps find no more that matters, a
 * wider reach makes the slope's doubt larger (simulated: docs/figures.md); the way down shows
 * hysteresis.
 *
 * <p>Where the bench can send the air the other way, three rungs more do so: the lift of the
 * highest flow below, and the suspected one at the lowest and the highest test pressure ({@link
 * OtherWayControl}).
 *
 * @param liftM suspected [m]
 * @param controlM a healthy lift [m], when the ladder has one that is near enough
 * @param pressuresPa rising [Pa]
 * @param otherWayFromM lift of the highest flow below the suspected one [m], itself where there is
 *     none below; empty where the bench cannot send the air the other way
 */
public record Confirmation(
    double liftM, OptionalDouble controlM, List<Double> pressuresPa, OptionalDouble otherWayFromM) {

  static final int PRESSURES = 6; // as above
  private static final int FEWER = 5; // the fewest that a fall can be told from

  /** So long a confirmation may take [s]: a person waits for it with the head on the bench. */
  private static final double LONGEST_S = 600;

  /** A verdict's 20 s, and hands to set blower or valve [s]: our own choice. */
  private static final double RUNG_S = 25;

  /** Readings that an average needs to open, settle and close, besides its verdict's time. */
  private static final double RUNG_READINGS = 5;

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
   * What a bench can do.
   *
   * @param highestPa test pressure that the blower reaches at the suspected lift [Pa]
   * @param otherWayFromM as above
   * @param spacingSeconds from one reading to the next [s]; NaN where it is not known
   */
  public record Able(double highestPa, OptionalDouble otherWayFromM, double spacingSeconds) {}

  /**
   * At the plan's own test pressure and below, one way.
   *
   * @param liftM suspected [m]
   * @param unhealthyM lifts that are no control [m]
   */
  public static Confirmation of(Plan plan, double liftM, List<Double> unhealthyM) {
    Able usual = new Able(plan.testPressurePa(), OptionalDouble.empty(), Double.NaN);
    return of(plan, liftM, unhealthyM, usual);
  }

  /** The same on a bench that is known. */
  public static Confirmation of(Plan plan, double liftM, List<Double> unhealthyM, Able bench) {
    OptionalDouble control =
        plan.ladder().stream()
            .mapToDouble(Rung::liftM)
            .filter(lift -> lift <= CLEARLY_LOWER * liftM && lift >= STILL_THE_PORTS * liftM)
            .filter(lift -> !Lifts.among(unhealthyM, lift))
            .max();
    int rungs = (control.isPresent() ? 2 : 1) * (2 * PRESSURES - 1);
    boolean slow = rungs * (RUNG_S + RUNG_READINGS * bench.spacingSeconds()) > LONGEST_S;
    int count = slow ? FEWER : PRESSURES;
    return new Confirmation(
        liftM, control, pressures(bench.highestPa(), count), bench.otherWayFromM());
  }

  private static List<Double> pressures(double highestPa, int count) {
    List<Double> pressures = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      pressures.add(highestPa * Math.pow(REACH, (double) i / (count - 1) - 1));
    }
    return pressures;
  }

  /** As it was begun in a test. */
  public static Confirmation of(TestEvent.Confirm begun) {
    boolean without = begun.controlM() == begun.liftM();
    return new Confirmation(
        begun.liftM(),
        without ? OptionalDouble.empty() : OptionalDouble.of(begun.controlM()),
        pressures(begun.highestPa(), begun.pressures()),
        begun.otherWayFromM());
  }

  /**
   * As it is written into a test.
   *
   * @param firstRung number of its first rung
   */
  public TestEvent.Confirm begun(int firstRung) {
    return new TestEvent.Confirm(
        liftM, controlM.orElse(liftM), highestPa(), pressuresPa.size(), firstRung, otherWayFromM);
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
    if (otherWayFromM.isPresent()) {
      double from = otherWayFromM.getAsDouble();
      if (from < liftM) {
        rungs.add(rung(first + rungs.size(), from, Sweep.OTHER_WAY, highestPa()));
      }
      rungs.add(rung(first + rungs.size(), liftM, Sweep.OTHER_WAY, pressuresPa.get(0)));
      rungs.add(rung(first + rungs.size(), liftM, Sweep.OTHER_WAY, highestPa()));
    }
    return rungs;
  }

  private double highestPa() {
    return pressuresPa.get(pressuresPa.size() - 1);
  }

  private static Rung rung(int number, double lift, Sweep sweep, double pressure) {
    return new Rung(number, lift, sweep, OptionalDouble.of(pressure), false, true);
  }

  private void upAndDown(double lift, int first, List<Rung> rungs) {
    List<Double> way = new ArrayList<>(pressuresPa);
    List<Double> down = new ArrayList<>(pressuresPa.subList(0, pressuresPa.size() - 1));
    Collections.reverse(down);
    way.addAll(down);
    for (double pressure : way) {
      rungs.add(rung(first + rungs.size(), lift, Sweep.OPENING, pressure));
    }
  }

  /** A ladder with the rungs of all experiments that were begun on it. */
  public static List<Rung> added(List<Rung> ladder, List<TestEvent> events) {
    List<Rung> all = new ArrayList<>(ladder);
    for (TestEvent event : events) {
      if (event.what() instanceof TestEvent.Confirm begun
          && all.stream().noneMatch(rung -> rung.number() == begun.firstRung())) {
        all.addAll(of(begun).rungs(begun.firstRung()));
      }
    }
    return all;
  }
}
