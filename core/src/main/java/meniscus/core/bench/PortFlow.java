package meniscus.core.bench;

import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.air.AirState;
import meniscus.core.flow.Direction;
import meniscus.core.flow.EffectiveArea;

/**
 * From the two pressures of one moment to the port's mass flow and effective area.
 *
 * <p>The port's flow is what passes the element, less what leaks in between, less what the plenum
 * stores while its pressure moves:
 *
 * <pre>
 *   qm,port = qm,element − qm,leak − V/(κ R T) · d(Δp)/dt
 * </pre>
 *
 * The storage term has this one sign for both directions when the element stands on the blower's
 * side: on suction a growing depression empties the plenum through the element, on blowing a
 * growing pressure fills it. It is the isentropic balance of a well-stirred volume (first law of an
 * open system; the air's inertia is neglected, good below the plenum's first resonance). With the
 * element on the room's side the sign turns, since the element then feeds or drains the port
 * itself.
 *
 * <p>Leakage is taken to be air of the plenum's state, as it is measured.
 */
public final class PortFlow {

  /**
   * On blowing without a plenum thermometer the air is taken to be this much above the room [K].
   */
  public static final double ASSUMED_MOTOR_HEAT_K = 10;

  private final FlowElement element;
  private final ElementPlace place;
  private final Direction direction;
  private final Optional<Leakage> leakage;
  private final double plenumVolumeM3;

  /**
   * @param element turns the drop into a mass flow
   * @param place where it stands
   * @param direction which way the air goes
   * @param leakage of this direction and set-up, when known
   * @param plenum when its volume is known
   */
  public PortFlow(
      FlowElement element,
      ElementPlace place,
      Direction direction,
      Optional<Leakage> leakage,
      Optional<Plenum> plenum) {
    this.element = Objects.requireNonNull(element);
    this.place = Objects.requireNonNull(place);
    this.direction = Objects.requireNonNull(direction);
    this.leakage = leakage;
    this.plenumVolumeM3 = plenum.map(Plenum::volumeM3).orElse(0.0);
  }

  /**
   * The air around the bench at one moment.
   *
   * @param room the room
   * @param plenumTemperatureK of the air in the plenum [K]
   * @param elementTemperatureK of the air before the element [K]
   * @param assumed true when the plenum's temperature is a guess
   */
  public record Surroundings(
      AirState room, double plenumTemperatureK, double elementTemperatureK, boolean assumed) {}

  /**
   * The air around the bench from what is measured. On suction the air keeps the room's stagnation
   * temperature; on blowing it is motor-heated, and without a thermometer {@link
   * #ASSUMED_MOTOR_HEAT_K} is assumed.
   */
  public Surroundings surroundings(
      AirState room, OptionalDouble plenumTemperatureK, OptionalDouble elementTemperatureK) {
    boolean blowing = direction == Direction.BLOWING;
    double guess = room.temperatureK() + (blowing ? ASSUMED_MOTOR_HEAT_K : 0);
    double plenum = plenumTemperatureK.orElse(blowing ? elementTemperatureK.orElse(guess) : guess);
    double element = elementTemperatureK.orElse(plenum);
    return new Surroundings(
        room,
        plenum,
        element,
        blowing && plenumTemperatureK.isEmpty() && elementTemperatureK.isEmpty());
  }

  /**
   * Mass flow through the port [kg/s].
   *
   * @param dropPa over the element [Pa], signed
   * @param testPressurePa across the port [Pa], positive in the test's direction
   * @param testPressureRate its rate of change [Pa/s]
   */
  public double massFlow(
      double dropPa, double testPressurePa, double testPressureRate, Surroundings air) {
    double through = element.massFlow(dropPa, elementUpstream(dropPa, testPressurePa, air));
    if (leakage.isEmpty() && plenumVolumeM3 == 0) {
      return through;
    }
    AirState plenum = plenum(testPressurePa, air);
    double leak =
        leakage.map(leak1 -> leak1.flowM3PerS(testPressurePa)).orElse(0.0)
            * plenum.density()
            * Math.signum(testPressurePa);
    double stored =
        plenumVolumeM3
            / (plenum.kappa() * plenum.gasConstant() * plenum.temperatureK())
            * testPressureRate;
    return place == ElementPlace.BLOWER_SIDE ? through - leak - stored : through + leak + stored;
  }

  /**
   * Effective area CdA of the port [m²], with the isentropic expansion factor and the air before
   * the port. Meaningless at test pressures near zero, where it is as large as the noise makes it.
   *
   * @param massFlow through the port [kg/s]
   * @param testPressurePa across the port [Pa], above zero
   */
  public double effectiveArea(double massFlow, double testPressurePa, Surroundings air) {
    return EffectiveArea.fromMassFlow(massFlow, portUpstream(testPressurePa, air), testPressurePa);
  }

  /** The air before the port: the room on suction, the plenum on blowing. */
  public AirState portUpstream(double testPressurePa, Surroundings air) {
    return direction == Direction.SUCTION ? air.room() : plenum(testPressurePa, air);
  }

  /** The air before the flow element. */
  public AirState elementUpstream(double dropPa, double testPressurePa, Surroundings air) {
    double roomPa = air.room().pressurePa();
    double upstreamPa =
        place == ElementPlace.BLOWER_SIDE
            ? direction == Direction.SUCTION
                ? roomPa - testPressurePa
                : roomPa + testPressurePa + Math.max(0, dropPa)
            : direction == Direction.SUCTION ? roomPa : roomPa + Math.max(0, dropPa);
    return air.room().movedTo(air.elementTemperatureK(), upstreamPa);
  }

  private AirState plenum(double testPressurePa, Surroundings air) {
    double sign = direction == Direction.SUCTION ? -1 : 1;
    return air.room()
        .movedTo(air.plenumTemperatureK(), air.room().pressurePa() + sign * testPressurePa);
  }
}
