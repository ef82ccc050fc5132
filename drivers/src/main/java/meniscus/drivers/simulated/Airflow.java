package meniscus.drivers.simulated;

import meniscus.core.flow.Direction;

/**
 * Port, plenum, flow element and blower in a row. One differential equation, that of the plenum's
 * store of air: V/(κRT) · dp/dt = what comes in − what goes out. Blower and element have no store;
 * their flow follows at once from the pressure that is left for them.
 *
 * <p>On suction: room → port → plenum → element → blower → room. On blowing: room → blower →
 * element → plenum → port → room. Pressures are written as the positive difference between plenum
 * and room.
 *
 * <p>Not thread-safe.
 */
final class Airflow {

  /** Below this the root law goes over into a straight line, else its slope had no limit [Pa]. */
  private static final double SOFT_PA = 0.01;

  /** An orifice's coefficient is looked up again after so many steps. */
  private static final int LOOK_UP_STEPS = 25;

  private final double plenumM3;
  private final Blower blower;
  private final double heating;

  private Direction direction = Direction.SUCTION;
  private Air room;
  private Scenario.Element element;
  private double elementError;
  private boolean isolated;
  private double leakCoefficient;
  private double leakExponent = 0.6;
  private double holesM2;

  private double testPressurePa;
  private double elementDropPa;
  private double portKgPerS;
  private double leakKgPerS;
  private double elementKgPerS;
  private double heatK;
  private double plainVelocityMPerS;
  private double elementCoefficient = 0.6;
  private int steps;

  /**
   * @param heating scale of the warming by compression
   */
  Airflow(double plenumM3, Blower blower, double heating) {
    this.plenumM3 = plenumM3;
    this.blower = blower;
    this.heating = heating;
  }

  void room(Air air) {
    room = air;
  }

  void direction(Direction other) {
    direction = other;
    testPressurePa = 0;
    elementDropPa = 0;
  }

  /**
   * @param error true coefficient over the textbook's, less 1
   */
  void element(Scenario.Element other, double error) {
    element = other;
    elementError = error;
    steps = 0;
  }

  /** Whether a valve between plenum and element is shut. */
  void isolated(boolean shut) {
    isolated = shut;
  }

  void leak(double coefficient, double exponent) {
    leakCoefficient = coefficient;
    leakExponent = exponent;
  }

  /** Openings through which air passes beside the port, as effective area. */
  void openHoles(double areaM2) {
    holesM2 = areaM2;
  }

  /**
   * Goes on by one step, implicitly in the plenum's pressure (linearised), so that any step is
   * stable and without a store the flows balance at once.
   *
   * @param passage what is mounted
   * @param areaM2 its effective area now
   * @param risePa of the blower in plain air without flow, now
   * @param motorK warming of blown air by the motor alone
   */
  void step(double stepS, Passage passage, double areaM2, double risePa, double motorK) {
    boolean suction = direction == Direction.SUCTION;
    double sign = suction ? -1 : 1;
    double plenumPa = room.pressurePa() + sign * testPressurePa;
    heatK = suction ? 0 : motorK + compressionK();
    double plenumK = room.temperatureK() + heatK;
    double gas = room.gasConstant();
    double plenumDensity = plenumPa / (gas * plenumK);

    double upstreamPa = suction ? room.pressurePa() : plenumPa;
    double upstreamDensity = suction ? room.density() : plenumDensity;
    double ratio = 1 - Math.abs(testPressurePa) / upstreamPa;
    double expansion = passage.expansion(ratio, Math.pow(ratio, 1 / Air.KAPPA));
    plainVelocityMPerS = expansion * Math.sqrt(2 * Math.abs(testPressurePa) / Air.PLAIN_DENSITY);
    double portPerRoot = areaM2 * expansion * Math.sqrt(2 * upstreamDensity);

    double bladesPa = isolated ? 0 : availablePa(risePa, suction) - testPressurePa;
    double elementPerRoot = isolated ? 0 : elementPerRoot(plenumPa, plenumK, suction);

    double port = portPerRoot * softRoot(testPressurePa);
    double through = elementPerRoot * softRoot(bladesPa);
    double holesPerRoot = holesM2 * Math.sqrt(2 * upstreamDensity);
    double joints = plenumDensity * leakM3PerS();
    double leak = joints + holesPerRoot * softRoot(testPressurePa);
    double portSlope = portPerRoot * softRootSlope(testPressurePa);
    double throughSlope = elementPerRoot * softRootSlope(bladesPa);
    double leakSlope =
        leakExponent * joints / Math.max(testPressurePa, 1)
            + holesPerRoot * softRootSlope(testPressurePa);

    double storeKgPerPa = plenumM3 / (Air.KAPPA * gas * plenumK);
    double rise =
        stepS
            * (through - port - leak)
            / (storeKgPerPa + stepS * (portSlope + throughSlope + leakSlope));
    rise = within(rise, bladesPa, testPressurePa);
    testPressurePa += rise;
    portKgPerS = port + portSlope * rise;
    leakKgPerS = leak + leakSlope * rise;
    elementKgPerS = through - throughSlope * rise;
    elementDropPa = dropPa(plenumK, suction);
  }

  /**
   * Rise in plain air without flow that holds a test pressure in the long run [Pa].
   *
   * @param areaM2 mean effective area of what is mounted
   */
  double neededRisePa(Passage passage, double areaM2, double wantedPa) {
    boolean suction = direction == Direction.SUCTION;
    double plenumPa = room.pressurePa() + (suction ? -1 : 1) * wantedPa;
    double plenumK = room.temperatureK() + heatK;
    double plenumDensity = plenumPa / (room.gasConstant() * plenumK);
    double upstreamPa = suction ? room.pressurePa() : plenumPa;
    double upstreamDensity = suction ? room.density() : plenumDensity;
    double ratio = 1 - wantedPa / upstreamPa;
    double port =
        areaM2
            * passage.expansion(ratio, Math.pow(ratio, 1 / Air.KAPPA))
            * Math.sqrt(2 * upstreamDensity * wantedPa);
    double flow = port + plenumDensity * leakCoefficient * Math.pow(wantedPa, leakExponent);
    double perRoot = elementPerRoot(plenumPa, plenumK, suction);
    double inlet = inletDensity(suction);
    return (wantedPa + flow * flow / (perRoot * perRoot)) * Air.PLAIN_DENSITY / inlet;
  }

  double testPressurePa() {
    return testPressurePa;
  }

  /** Flow per effective area in plain air, Y·√(2Δp/1.2 kg/m³). */
  double plainVelocityMPerS() {
    return plainVelocityMPerS;
  }

  double elementDropPa() {
    return elementDropPa;
  }

  double portKgPerS() {
    return portKgPerS;
  }

  double leakKgPerS() {
    return leakKgPerS;
  }

  double elementKgPerS() {
    return elementKgPerS;
  }

  double plenumTemperatureK() {
    return room.temperatureK() + heatK;
  }

  Direction direction() {
    return direction;
  }

  /**
   * Newton's step on a root law jumps past zero when no store of air holds it back: it goes no
   * farther than to where the drop that drives the flow is gone. Small steps are not touched.
   *
   * @param upPa drop over element and blower
   * @param downPa drop over the port
   */
  private static double within(double rise, double upPa, double downPa) {
    double most = upPa > 0 ? Math.max(SOFT_PA, upPa) : Double.MAX_VALUE;
    double least = Math.max(SOFT_PA, upPa < 0 ? -upPa : Math.abs(downPa));
    return Math.max(-least, Math.min(rise, most));
  }

  /** What the blower gives at no flow in the air it really draws. */
  private double availablePa(double risePa, boolean suction) {
    return risePa * inletDensity(suction) / Air.PLAIN_DENSITY;
  }

  private double inletDensity(boolean suction) {
    double inletPa = room.pressurePa() - (suction ? testPressurePa + elementDropPa : 0);
    return inletPa / (room.gasConstant() * room.temperatureK());
  }

  /**
   * Mass flow through element and blower over the root of what is left for both: the element's drop
   * q²/(2ρ(CεA)²) and the part of the blower's rise that its own flow uses up, both square in q.
   */
  private double elementPerRoot(double plenumPa, double plenumK, boolean suction) {
    if (steps++ % LOOK_UP_STEPS == 0) {
      elementCoefficient = coefficient(plenumK);
    }
    double upstreamPa = suction ? plenumPa : plenumPa + elementDropPa;
    double density = upstreamPa / (room.gasConstant() * plenumK);
    double conductance = elementConductance(upstreamPa);
    double inlet = inletDensity(suction);
    double blades =
        blower.shutOffPa()
            / (blower.freeFlowM3PerS() * blower.freeFlowM3PerS())
            / (Air.PLAIN_DENSITY * inlet);
    return 1 / Math.sqrt(1 / (2 * density * conductance * conductance) + blades);
  }

  private double dropPa(double plenumK, boolean suction) {
    double plenumPa = room.pressurePa() + (suction ? -testPressurePa : testPressurePa);
    double upstreamPa = suction ? plenumPa : plenumPa + elementDropPa;
    double density = upstreamPa / (room.gasConstant() * plenumK);
    double conductance = elementConductance(upstreamPa);
    return elementKgPerS * Math.abs(elementKgPerS) / (2 * density * conductance * conductance);
  }

  /** CεA [m²]. */
  private double elementConductance(double upstreamPa) {
    double root = Math.pow(1 - Math.abs(elementDropPa) / upstreamPa, 1 / Air.KAPPA);
    return elementCoefficient * Passage.Plate.plateExpansion(root) * elementAreaM2();
  }

  /** ISO 5167-2:2003 eq. (4) at bore ratio 0, with the scenario's own error. */
  private double coefficient(double airK) {
    double viscosity = 1.458e-6 * Math.pow(airK, 1.5) / (airK + 110.4);
    double reynolds = 4 * Math.abs(elementKgPerS) / (Math.PI * element.boreM() * viscosity);
    double textbook = 0.5961 + 0.000521 * Math.pow(1e6 / Math.max(reynolds, 1e3), 0.7);
    return textbook * (1 + elementError);
  }

  private double elementAreaM2() {
    return Math.PI / 4 * element.boreM() * element.boreM();
  }

  private double leakM3PerS() {
    return leakCoefficient == 0
        ? 0
        : Math.copySign(
            leakCoefficient * Math.pow(Math.abs(testPressurePa), leakExponent), testPressurePa);
  }

  /** Warming by compression, losses included: all of the blower's rise becomes heat in the air. */
  private double compressionK() {
    double rise = testPressurePa + elementDropPa;
    return heating * Math.max(0, rise) / (room.density() * Air.HEAT_CAPACITY * blower.efficiency());
  }

  private static double softRoot(double x) {
    return x / Math.sqrt(Math.sqrt(x * x + SOFT_PA * SOFT_PA));
  }

  private static double softRootSlope(double x) {
    double square = x * x + SOFT_PA * SOFT_PA;
    return (1 - x * x / (2 * square)) / Math.sqrt(Math.sqrt(square));
  }
}
