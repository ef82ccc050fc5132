package meniscus.drivers.simulated;

import java.nio.ByteBuffer;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SplittableRandom;
import meniscus.core.flow.Direction;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;

/**
 * One flow bench in simulated time. Its time moves only by {@link #advanceTo}; the same calls with
 * the same seed give the same bytes. Instruments are named as their shipped sheets: {@link
 * #MANOMETER}, {@link #DIAL}, {@link #STATION}.
 *
 * <p>The seed moves noise, weather and fitting only; port, bench and change are the scenario's.
 *
 * <p>Not thread-safe.
 */
public final class SimulatedBench {

  public static final String MANOMETER = Manometer.ID;
  public static final String DIAL = DialIndicator.ID;
  public static final String STATION = RoomStation.ID;

  /** Step of the equations. */
  static final long STEP_NANOS = 2_000_000;

  private static final double STEP_S = STEP_NANOS * 1e-9;
  private static final int WEATHER_STEPS = (int) Math.round(Weather.STEP_S / STEP_S);

  /** A plate's flow is rough too, but less than a port's: relative, and correlation time [s]. */
  private static final double PLATE_TURBULENCE = 0.0025;

  private static final double PLATE_TURBULENCE_S = 0.08;

  /** Told of bytes that have arrived. */
  @FunctionalInterface
  public interface Listener {
    /**
     * @param instrument its name
     * @param at when the last of them arrived
     * @param bytes borrowed for the call only
     */
    void bytes(String instrument, Moment at, ByteBuffer bytes);
  }

  private final Scenario scenario;
  private final Airflow airflow;
  private Direction usualWay = Direction.SUCTION;
  private final BlowerControl control;
  private final Weather weather;
  private final Separation separation;
  private final SplittableRandom fixing;
  private final SplittableRandom turbulence;
  private final Manometer manometer;
  private final DialIndicator dial;
  private final RoomStation station;

  private long nowNanos;
  private long steps;
  private Passage passage = Passage.BLANK;
  private Optional<Port> port = Optional.empty();
  private Optional<SimulatedShortSide> turn = Optional.empty();
  private LiftGear gear;
  private Wander roughness;
  private double roughnessScale;
  private double placement;
  private double jointLeak;
  private boolean plugged = true;
  private double wrongZeroM;
  private double wrongLeak;
  private OptionalDouble teedPa = OptionalDouble.empty();
  private double areaLiftM = Double.NaN;
  private double attachedM2;
  private double effectiveM2;
  private double meanM2;

  public SimulatedBench(Scenario scenario, long seed) {
    this.scenario = scenario;
    SplittableRandom random = new SplittableRandom(seed);
    weather = new Weather(scenario.room(), scenario.scale(Effect.WEATHER), random.split());
    control = new BlowerControl(scenario, random.split(), STEP_S);
    separation = new Separation(random.split());
    fixing = random.split();
    turbulence = random.split();
    manometer = new Manometer(scenario, random.split(), STEP_S);
    dial = new DialIndicator(scenario, random.split());
    station = new RoomStation(scenario, weather, random.split());
    double plenumM3 = scenario.plenumM3() * scenario.scale(Effect.PLENUM_STORAGE);
    airflow = new Airflow(plenumM3, scenario.blower(), scenario.scale(Effect.MOTOR_HEAT));
    airflow.room(weather.air());
    range(scenario.elements().get(0).name());
    mount(new Mounted.Blank());
  }

  public Scenario scenario() {
    return scenario;
  }

  public Moment now() {
    return new Moment(nowNanos);
  }

  /**
   * Lets the bench run to the last step of 2 ms at or before a moment; an earlier moment changes
   * nothing.
   */
  public void advanceTo(Moment moment) {
    while (nowNanos + STEP_NANOS <= moment.nanos()) {
      nowNanos += STEP_NANOS;
      step();
    }
  }

  // What a person at the bench does.

  /** Puts something on the bench; a head comes with its valve shut and its openings plugged. */
  public void mount(Mounted what) {
    passage = Passage.of(what);
    port = what.fold(Optional::of, plate -> Optional.empty(), Optional::empty);
    wrongZeroM = what instanceof Mounted.Head head ? head.liftZeroM() : 0;
    wrongLeak = what instanceof Mounted.Head head ? head.leakM3PerS() : 0;
    teedPa =
        what instanceof Mounted.Tee tee
            ? OptionalDouble.of(tee.pressurePa())
            : OptionalDouble.empty();
    double backlashM = scenario.scale(Effect.BACKLASH) * scenario.dial().backlashM();
    gear = new LiftGear(scenario.valveTrain(), backlashM);
    plugged = true;
    newWay();
    double rough = PLATE_TURBULENCE;
    double roughS = PLATE_TURBULENCE_S;
    if (port.isPresent()) {
      Port head = port.get();
      rough += scenario.scale(Effect.PORT_ROUGHNESS) * (head.turbulence() - PLATE_TURBULENCE);
      roughS = head.turbulenceS();
    }
    roughness = new Wander(turbulence.split(), roughS, STEP_S);
    roughnessScale = rough * scenario.scale(Effect.TURBULENCE);
    fit();
  }

  /** Draws how this fitting turned out; always as many numbers, whatever is mounted. */
  private void fit() {
    Scenario.Fixing spread = scenario.fixing();
    double scale = port.isPresent() ? scenario.scale(Effect.REFIXING) : 0;
    placement = scale * spread.placement() * fixing.nextGaussian();
    dial.fixedWithZero(scale * spread.liftZeroM() * fixing.nextGaussian() + wrongZeroM);
    double spreadOfJoint = Math.exp(scale * spread.joint() * fixing.nextGaussian());
    jointLeak = port.isPresent() ? scenario.leaks().joint() * spreadOfJoint + wrongLeak : 0;
    leaks();
  }

  /** Where the opener is turned to; it takes its time. 0 lets the valve shut. */
  public void setLift(double metres) {
    gear.turnTo(metres);
  }

  /** Turns the opener from where it was turned to last. */
  void turnOpenerBy(double metres) {
    gear.turnTo(gear.targetM() + metres);
  }

  /** Whether the opener has got where it was turned to. */
  public boolean openerRests() {
    return gear.resting();
  }

  public void blower(boolean on) {
    control.on(on);
  }

  /** Test pressure that the regulator is to hold [Pa], positive. */
  public void aimPressure(double pascals) {
    if (!(pascals > 0)) {
      throw new Refusal("a test pressure to aim at is positive, was " + pascals + " Pa");
    }
    control.aim(pascals);
  }

  /** Changes the way of the air, and the hoses; with the blower off. */
  public void direction(Direction direction) {
    usualWay = direction;
    turnAir(direction);
  }

  /**
   * Sends the air the way that {@link #direction} says, or the other one.
   *
   * @param usually the first of these
   */
  void sendAir(boolean usually) {
    Direction way = usually ? usualWay : usualWay.other();
    if (way != airflow.direction()) {
      turnAir(way);
    }
  }

  private void turnAir(Direction way) {
    airflow.direction(way);
    newWay();
    leaks();
  }

  /** The air takes another way than a moment ago. */
  private void newWay() {
    areaLiftM = Double.NaN;
    separation.attach();
    turn = port.map(Port::shortSide).filter(side -> side.direction() == airflow.direction());
  }

  /** Chooses the flow element's range by its name. */
  public void range(String name) {
    List<Scenario.Element> elements = scenario.elements();
    Scenario.Element chosen =
        elements.stream()
            .filter(element -> element.name().equals(name))
            .findFirst()
            .orElseThrow(
                () ->
                    new Refusal(
                        "no range \""
                            + name
                            + "\"; there are: "
                            + String.join(
                                ", ", elements.stream().map(Scenario.Element::name).toList())));
    airflow.element(chosen, scenario.scale(Effect.ELEMENT_ERROR) * chosen.coefficientError());
  }

  /** Whether the head's other openings (spark plug and the like) are plugged. */
  public void plugged(boolean shut) {
    plugged = shut;
    leaks();
  }

  /** Shuts or opens the valve between plenum and flow element, for a leak test by decay. */
  public void isolated(boolean shut) {
    airflow.isolated(shut);
  }

  /** Lets a night pass: other weather. */
  public void anotherDay() {
    weather.anotherDay();
    airflow.room(weather.air());
  }

  /** What a person reads off the dial indicator [m]. */
  public double dialM() {
    return dial.shownM();
  }

  // What comes over the lines.

  /** Hands over all that has arrived until now, instruments mixed, in the order of arrival. */
  public void drain(Listener listener) {
    while (true) {
      String first = MANOMETER;
      for (String other : List.of(DIAL, STATION)) {
        if (wire(other).nextNanos() < wire(first).nextNanos()) {
          first = other;
        }
      }
      if (wire(first).nextNanos() > nowNanos) {
        return;
      }
      wire(first).takeNext(listener, first);
    }
  }

  /**
   * Takes what has arrived from one instrument until now.
   *
   * @return number of bytes
   */
  public int drain(String instrument, ByteBuffer into) {
    return wire(instrument).take(nowNanos, into);
  }

  /** Bytes that were sent to an instrument. Only the station listens. */
  public void received(String instrument, ByteBuffer bytes) {
    if (wire(instrument) == station.wire()) {
      station.received(nowNanos, bytes);
    } else {
      bytes.position(bytes.limit());
    }
  }

  /** What is really so. */
  public Truth truth() {
    return new Truth(
        now(),
        new Truth.Area(effectiveM2, meanM2, separation.separated(), separation.share()),
        new Truth.Flows(airflow.portKgPerS(), airflow.leakKgPerS(), airflow.elementKgPerS()),
        new Truth.Pressures(airflow.testPressurePa(), airflow.elementDropPa()),
        new Truth.Valve(gear.liftM(), gear.floating()),
        new Truth.Air(
            weather.temperatureK(),
            weather.pressurePa(),
            weather.humidity(),
            airflow.plenumTemperatureK()),
        control.control());
  }

  private InstrumentWire wire(String instrument) {
    return switch (instrument) {
      case MANOMETER -> manometer.wire();
      case DIAL -> dial.wire();
      case STATION -> station.wire();
      default ->
          throw new Refusal(
              "the simulated bench has no instrument \""
                  + instrument
                  + "\"; there are: "
                  + String.join(", ", MANOMETER, DIAL, STATION));
    };
  }

  private void leaks() {
    Scenario.Leaks leaks = scenario.leaks();
    double scale = scenario.scale(Effect.LEAKAGE);
    double bench =
        airflow.direction() == Direction.SUCTION ? leaks.benchSuction() : leaks.benchBlowing();
    airflow.leak(scale * (bench + jointLeak), leaks.exponent());
    airflow.openHoles(plugged || port.isEmpty() ? 0 : leaks.openHolesM2());
  }

  private void step() {
    if (steps++ % WEATHER_STEPS == 0) {
      weather.step(control.roomK());
      airflow.room(weather.air());
    }
    double nowS = nowNanos * 1e-9;
    double sign = airflow.direction() == Direction.SUCTION ? 1 : -1;
    double airN = sign * airflow.testPressurePa() * passage.headAreaM2();
    gear.step(STEP_S, airN * scenario.scale(Effect.VALVE_SUCTION));
    area();
    double needed =
        control.steersItself() ? airflow.neededRisePa(passage, meanM2, control.aimPa()) : 0;
    double rise = control.step(STEP_S, manometer.seenTestPressurePa(), needed);
    airflow.step(STEP_S, passage, effectiveM2, rise, control.motorK());
    manometer.step(
        nowS, teedPa.orElse(airflow.testPressurePa()), teedPa.orElse(airflow.elementDropPa()));
    dial.step(nowS, gear.followedM(), airflow.testPressurePa());
  }

  /** Effective area of this moment. */
  private void area() {
    if (!(Math.abs(gear.liftM() - areaLiftM) < 2e-8)) {
      areaLiftM = gear.liftM();
      attachedM2 = passage.areaM2(areaLiftM, airflow.direction()) * (1 + placement);
    }
    double rough = roughnessScale * roughness.step();
    double lost = 0;
    meanM2 = attachedM2;
    if (turn.isPresent()) {
      SimulatedShortSide shortSide = turn.get();
      double depth = shortSide.depth() * scenario.scale(Effect.SHORT_SIDE);
      double crowding = attachedM2 * passage.crowding(areaLiftM);
      separation.step(shortSide, crowding, airflow.plainVelocityMPerS(), STEP_S);
      lost = separation.separated() ? depth : 0;
      rough *= separation.separated() && depth > 0 ? shortSide.roughness() : 1;
      meanM2 = attachedM2 * (1 - depth * separation.share());
    }
    effectiveM2 = attachedM2 * (1 - lost) * (1 + rough);
  }
}
