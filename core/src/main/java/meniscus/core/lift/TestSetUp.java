package meniscus.core.lift;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.refusal.Refusal;

/**
 * What a test depends on besides the port.
 *
 * @param smallestAreaM2 the port's smallest cross-section [m²], when known
 * @param adapter cylinder between head and bench
 */
public record TestSetUp(
    Valves valves,
    OptionalDouble smallestAreaM2,
    Optional<Adapter> adapter,
    Fitted fitted,
    Indicator indicator) {

  /**
   * How well a person sets a dial's zero by hand, one standard uncertainty [m]: seat, stem and
   * indicator are off by up to 0.05 mm and no one sees it. Simulated: with it a zero off by 0.05 mm
   * makes false gains or losses in 4 % of jobs, with 0.006 mm in 87 %.
   */
  public static final double USUAL_LIFT_ZERO_M = 0.025e-3;

  /** The same with the dial read on the seat before and after the test [m]. */
  public static final double LIFT_ZERO_READ_TWICE_M = 0.010e-3;

  public TestSetUp {
    Objects.requireNonNull(valves);
    Objects.requireNonNull(fitted);
    Objects.requireNonNull(indicator);
  }

  /** The same with a word on the indicator's zero. */
  public TestSetUp withLiftZeroM(double standardUncertaintyM) {
    return new TestSetUp(
        valves,
        smallestAreaM2,
        adapter,
        fitted,
        new Indicator(indicator.touches(), OptionalDouble.of(standardUncertaintyM)));
  }

  public int valvesFitted() {
    return valves.fitted();
  }

  public int valvesOpened() {
    return valves.opened();
  }

  public List<Double> valveHeadsM() {
    return valves.headsM();
  }

  public Optional<Seat> seat() {
    return valves.seat();
  }

  public Optional<Spring> spring() {
    return valves.spring();
  }

  public String entry() {
    return fitted.entry();
  }

  public String exit() {
    return fitted.exit();
  }

  public String pluggedHoles() {
    return fitted.pluggedHoles();
  }

  public String indicatorTouches() {
    return indicator.touches();
  }

  public OptionalDouble liftZeroM() {
    return indicator.zeroM();
  }

  /** Sum of the curtain areas π·D·L of the opened valves [m²]. */
  public double curtainAreaM2(double liftM) {
    return valves.headsM().stream().mapToDouble(head -> Math.PI * head * liftM).sum();
  }

  /**
   * @param fitted in this port, 1 or more; 0 only in {@link #NONE}
   * @param opened how many of them are opened
   * @param headsM head diameters of the opened valves [m]
   * @param seat of the opened valves, when known
   * @param spring checking spring, when known
   */
  public record Valves(
      int fitted, int opened, List<Double> headsM, Optional<Seat> seat, Optional<Spring> spring) {

    /** What stands on the bench has none: an orifice plate. */
    public static final Valves NONE =
        new Valves(0, 0, List.of(), Optional.empty(), Optional.empty());

    public Valves {
      headsM = List.copyOf(headsM);
      if (opened > fitted || opened < 1 && fitted > 0) {
        throw new Refusal(
            "valves opened (" + opened + ") must be from 1 to the valves fitted (" + fitted + ")");
      }
      if (headsM.size() != opened) {
        throw new Refusal(
            opened + " valves are opened but " + headsM.size() + " head diameters given");
      }
    }

    /** What a dial shows then is the lift of nothing. */
    public boolean none() {
      return fitted == 0;
    }
  }

  /**
   * What is put on the port's two ends, and what is shut.
   *
   * @param entry bare, radius, clay, manifold
   * @param exit bare, pipe
   * @param pluggedHoles in words
   */
  public record Fitted(String entry, String exit, String pluggedHoles) {}

  /**
   * The dial indicator.
   *
   * @param touches where
   * @param zeroM standard uncertainty of its zero on the shut valve [m]; empty in plans older than
   *     this member
   */
  public record Indicator(String touches, OptionalDouble zeroM) {}

  /**
   * @param outerM outer diameter of the seat [m]; empty: it reaches the edge of the head
   * @param widthM radial seat width [m]
   * @param angleRad from the head plane [rad]
   * @param throatM diameter of the throat [m]
   * @param stemM diameter of the stem [m]
   */
  public record Seat(
      OptionalDouble outerM, double widthM, double angleRad, double throatM, double stemM) {}

  /** Bore adapter: diameter, length, and how far the valve sits off its axis [m]. */
  public record Adapter(double diameterM, double lengthM, double offsetM) {}

  /**
   * @param seatLoadN spring force with the valve shut [N]
   * @param rateNPerM [N/m]
   * @param valveMassKg valve, retainer and what rides on it [kg]
   * @param indicatorForceN force of the dial indicator, positive when it opens the valve [N]
   */
  public record Spring(
      double seatLoadN, double rateNPerM, double valveMassKg, double indicatorForceN) {}
}
