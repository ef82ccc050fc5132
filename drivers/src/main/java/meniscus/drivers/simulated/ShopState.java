package meniscus.drivers.simulated;

import java.util.List;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import java.util.function.Supplier;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;
import meniscus.core.quantity.Worded;

/**
 * The invented shop's job: three ports of one head, each as received and after each change, two of
 * which were wrong. All sizes are our own choice, made to be plausible: what a change does is known
 * here, and nowhere else.
 */
public enum ShopState implements Worded {
  INTAKE_1("intake-1-as-received", ShopState::intake),
  /** Right: flow gained near the seat. */
  INTAKE_1_VALVE_JOB(
      "intake-1-valve-job", INTAKE_1, port -> with(port, lift -> 1 + nearTheSeat(0.08, lift))),
  /** Right: gained at low and middle lifts, and the short side is still sound. */
  INTAKE_1_BOWL(
      "intake-1-bowl",
      INTAKE_1_VALVE_JOB,
      port ->
          with(port, lift -> 1 + 0.05 * bump(lift, 0.22 * ShopState.INCH, 0.13 * ShopState.INCH))),
  /** The casting: a core that was set a little off. */
  INTAKE_2(
      "intake-2-as-received",
      () -> with(intake(), lift -> 1 - 0.03 * lift / (0.6 * ShopState.INCH))),
  /** Right, as in the other intake. */
  INTAKE_2_VALVE_JOB(
      "intake-2-valve-job", INTAKE_2, port -> with(port, lift -> 1 + nearTheSeat(0.08, lift))),
  /** Wrong: lower, and now too sharp a turn for what arrives at high lift. */
  INTAKE_2_SHORT_SIDE(
      "intake-2-short-side", INTAKE_2_VALVE_JOB, port -> port.with(DemoScenario.shortSide(89))),
  EXHAUST_1("exhaust-1-as-received", ShopState::exhaust),
  /** Wrong: a seat cut wide covers the opening at low lift. */
  EXHAUST_1_SEAT(
      "exhaust-1-seat", EXHAUST_1, port -> with(port, lift -> 1 - nearTheSeat(0.09, lift)));

  private static final double INCH = 0.0254;

  /** Lift [in], discharge coefficients drawn and blown. */
  private static final double[][] EXHAUST_STEPS = {
    {0.025, 0.560, 0.590},
    {0.050, 0.575, 0.605},
    {0.100, 0.590, 0.622},
    {0.200, 0.585, 0.615},
    {0.300, 0.545, 0.572},
    {0.400, 0.480, 0.505},
    {0.500, 0.415, 0.438},
    {0.600, 0.360, 0.380},
  };

  private final String word;
  private final Optional<ShopState> from;
  private final Supplier<Port> port;

  ShopState(String word, Supplier<Port> asReceived) {
    this.word = word;
    this.from = Optional.empty();
    this.port = asReceived;
  }

  /**
   * @param change what was done to the port as it was before
   */
  ShopState(String word, ShopState from, UnaryOperator<Port> change) {
    this.word = word;
    this.from = Optional.of(from);
    this.port = () -> change.apply(from.port());
  }

  /** Name of its test. */
  @Override
  public String word() {
    return word;
  }

  /** The state that it was made of; empty as received. */
  public Optional<ShopState> from() {
    return from;
  }

  /** How the port is then. */
  public Port port() {
    return port.get();
  }

  /** The step to this state: what was, and what is. */
  public Scenario step() {
    return Scenario.demo().with(from.orElse(this).port(), port());
  }

  private static Port intake() {
    return DemoScenario.scenario().before();
  }

  private static Port exhaust() {
    return new Port(
        "as received",
        1.6 * INCH,
        1.05e-3,
        Stream.of(EXHAUST_STEPS).map(row -> new Port.Step(row[0] * INCH, row[1], row[2])).toList(),
        // Blown, this turn is taken the easy way round.
        DemoScenario.shortSide(125),
        0.006,
        0.12);
  }

  private static double nearTheSeat(double share, double liftM) {
    return share * Math.exp(-Math.pow(liftM / (0.17 * INCH), 2));
  }

  private static double bump(double liftM, double middleM, double widthM) {
    return Math.exp(-Math.pow((liftM - middleM) / widthM, 2));
  }

  private static Port with(Port port, DoubleUnaryOperator factor) {
    List<Port.Step> steps =
        port.steps().stream()
            .map(
                step -> {
                  double times = factor.applyAsDouble(step.liftM());
                  return new Port.Step(
                      step.liftM(), step.suction() * times, step.blowing() * times);
                })
            .toList();
    return port.with(steps);
  }
}
