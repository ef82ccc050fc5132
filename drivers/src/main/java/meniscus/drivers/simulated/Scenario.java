package meniscus.drivers.simulated;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import meniscus.core.lift.TestSetUp;
import meniscus.core.refusal.Refusal;

/**
 * All sizes of a simulated bench and of the head tested on it. The seed of a {@link SimulatedBench}
 * changes none of them.
 *
 * @param head what is tested, and how it is held
 * @param scales of effects that are not 1
 */
public record Scenario(
    Room room, Rig rig, Instruments instruments, TestedHead head, Map<Effect, Double> scales) {

  /**
   * What the air passes besides what is mounted.
   *
   * @param plenumM3 volume between port and flow element [m³]
   * @param elements the flow element's ranges; the first is in use until another is chosen
   * @param plates calibration plates of this bench
   */
  public record Rig(
      Blower blower,
      double plenumM3,
      List<Element> elements,
      List<Mounted.Plate> plates,
      Leaks leaks) {

    public Rig {
      elements = List.copyOf(elements);
      plates = List.copyOf(plates);
      if (elements.isEmpty() || !(plenumM3 > 0)) {
        throw new Refusal("a bench has a plenum and at least one flow element");
      }
    }
  }

  /** What is read. */
  public record Instruments(Gauges gauges, Dial dial, Station station) {}

  /**
   * @param before as received
   * @param after the change
   */
  public record TestedHead(ValveTrain valveTrain, Fixing fixing, Port before, Port after) {}

  /**
   * Mean air of the room, and standard deviation with correlation time of its wandering.
   *
   * @param temperatureK [K]
   * @param pressurePa absolute [Pa]
   * @param humidity relative, 0 to 1
   */
  public record Room(
      double temperatureK,
      double pressurePa,
      double humidity,
      double temperatureSpreadK,
      double pressureSpreadPa,
      double humiditySpread,
      double wanderS) {}

  /**
   * A sharp-edged orifice between plenum and blower.
   *
   * @param name of the range
   * @param boreM [m]
   * @param coefficientError true discharge coefficient over that of a plate between two large rooms
   *     (ISO 5167-2:2003 at bore ratio 0), less 1
   */
  public record Element(String name, double boreM, double coefficientError) {}

  /**
   * Leaks q = coefficient × (Δp / 1 Pa)^exponent of plenum air.
   *
   * @param benchSuction of the bench itself, drawing [m³/s]
   * @param benchBlowing of the bench itself, blowing [m³/s]
   * @param joint of a head's joint, either way [m³/s]; a plate's joint is tight
   * @param exponent 0.5 to 1
   * @param openHolesM2 effective area of a head's other openings when they are not plugged [m²]
   */
  public record Leaks(
      double benchSuction,
      double benchBlowing,
      double joint,
      double exponent,
      double openHolesM2) {}

  /**
   * The two-channel manometer. Its hoses are changed over with the direction: both readings are
   * positive on suction and on blowing.
   *
   * @param clockError its 50 readings a second are this much too fast [1]
   * @param jitterS mean lateness of arriving bytes [s]
   */
  public record Gauges(Gauge testPressure, Gauge elementDrop, double clockError, double jitterS) {}

  /**
   * @param zeroM what it shows with the valve shut [m]
   * @param flexMPerPa reading added by the test pressure bending its bridge [m/Pa]
   * @param backlashM a closing sweep reads this much high [m]
   * @param noiseM standard deviation of a reading [m]
   * @param quantumM smallest step [m]
   * @param inches whether its button is set to inches
   */
  public record Dial(
      double zeroM,
      double flexMPerPa,
      double backlashM,
      double noiseM,
      double quantumM,
      boolean inches) {}

  /**
   * The room-air station's errors.
   *
   * @param answerS time from question to answer [s]
   */
  public record Station(
      double temperatureErrorK, double pressureErrorPa, double humidityError, double answerS) {}

  /**
   * @param spring as in a plan
   * @param openerNPerM stiffness of what holds the valve open [N/m]
   * @param openerMPerS how fast it is turned [m/s]
   */
  public record ValveTrain(TestSetUp.Spring spring, double openerNPerM, double openerMPerS) {}

  /**
   * Standard deviations of what is drawn anew each time a head is mounted.
   *
   * @param placement relative, of the effective area at every lift [1]
   * @param liftZeroM of the dial's zero [m]
   * @param joint relative, of the joint's leak [1]
   */
  public record Fixing(double placement, double liftZeroM, double joint) {}

  public Scenario {
    Objects.requireNonNull(room);
    scales = Map.copyOf(scales);
    scales.forEach(
        (effect, scale) -> {
          if (!(scale >= 0)) {
            throw new Refusal(effect.word() + " cannot be scaled by " + scale);
          }
        });
  }

  /** The invented job that the demo runs; see docs/simulated-bench.md. */
  public static Scenario demo() {
    return DemoScenario.scenario();
  }

  public double scale(Effect effect) {
    return scales.getOrDefault(effect, 1.0);
  }

  public Scenario scaled(Effect effect, double scale) {
    Map<Effect, Double> other = new EnumMap<>(Effect.class);
    other.putAll(scales);
    other.put(effect, scale);
    return new Scenario(room, rig, instruments, head, other);
  }

  public Scenario without(Effect... effects) {
    Scenario scenario = this;
    for (Effect effect : effects) {
      scenario = scenario.scaled(effect, 0);
    }
    return scenario;
  }

  public Scenario with(Port otherBefore, Port otherAfter) {
    return with(new TestedHead(valveTrain(), fixing(), otherBefore, otherAfter));
  }

  private Scenario with(TestedHead other) {
    return new Scenario(room, rig, instruments, other, scales);
  }

  public Blower blower() {
    return rig.blower();
  }

  public double plenumM3() {
    return rig.plenumM3();
  }

  public List<Element> elements() {
    return rig.elements();
  }

  public List<Mounted.Plate> plates() {
    return rig.plates();
  }

  public Leaks leaks() {
    return rig.leaks();
  }

  public Gauges gauges() {
    return instruments.gauges();
  }

  public Dial dial() {
    return instruments.dial();
  }

  public Station station() {
    return instruments.station();
  }

  public ValveTrain valveTrain() {
    return head.valveTrain();
  }

  public Fixing fixing() {
    return head.fixing();
  }

  public Port before() {
    return head.before();
  }

  public Port after() {
    return head.after();
  }
}
