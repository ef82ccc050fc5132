package meniscus.drivers.simulated;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Worded;

/**
 * What became of the demo's head between its two tests: one known cause each, so that anyone can
 * see how it shows, and what is said of it. All are invented.
 */
public enum DemoChange implements Worded {
  /** The bowl blended; the short side gives up from 0.500 in on and jumps. */
  SHORT_SIDE("the bowl blended"),
  /** The bowl blended, and a section further on made smaller: a loss that grows with the flow. */
  CHOKE("the bowl blended, a section further on closed up"),
  /** The short side gives way little by little, too fast to be seen jumping. */
  GRADUAL_STALL("the short side lowered"),
  /** The short side lets go and catches the air again in stays of about 0.03 s. */
  FAST_FLUTTER("the short side sharpened"),
  /** Cutting oil and burrs left on the seat: a loss at low lift alone. */
  WET_SEAT("the seat cut again"),
  /** Nothing was done; the dial was set 0.05 mm wrong. */
  SHIFTED_ZERO("nothing, and the dial set wrong"),
  /** Nothing was done; the joint leaks some 2 cfm more at 28 inH2O. */
  GROWN_LEAK("nothing, and the joint leaking");

  private static final double INCH = 0.0254;

  private static final double SHIFTED_M = 0.05e-3;

  /** 2 cfm at 28 inH2O through joints that go with the pressure to the power 0.6. */
  private static final double LEAK = 2 * 4.719474e-4 / Math.pow(6974.5, 0.6);

  private final String done;

  DemoChange(String done) {
    this.done = done;
  }

  /** As typed: {@code gradual-stall}. */
  @Override
  public String word() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** What was done, for people. */
  public String done() {
    return done;
  }

  public static Optional<DemoChange> named(String word) {
    return Worded.named(values(), word);
  }

  /** The demo with the head after this change. */
  public Scenario scenario() {
    Scenario demo = Scenario.demo();
    return this == SHORT_SIDE ? demo : demo.with(demo.before(), after(demo));
  }

  /** The head after the change, as it was put on the bench. */
  public Mounted.Head mounted() {
    return new Mounted.Head(
        scenario().after(), this == SHIFTED_ZERO ? SHIFTED_M : 0, this == GROWN_LEAK ? LEAK : 0);
  }

  private Port after(Scenario demo) {
    SimulatedShortSide sound = demo.before().shortSide();
    return switch (this) {
      case CHOKE -> port(choked(demo.after()), sound);
      case GRADUAL_STALL -> port(demo.before().steps(), shortSide(98, 9, 0.004));
      case FAST_FLUTTER -> port(demo.before().steps(), shortSide(94, 2, 0.015));
      case WET_SEAT -> port(seatLost(demo.before()), sound);
      default -> demo.before();
    };
  }

  private Port port(List<Port.Step> steps, SimulatedShortSide shortSide) {
    Port like = Scenario.demo().before();
    return new Port(
        done,
        like.headM(),
        like.smallestAreaM2(),
        steps,
        shortSide,
        like.turbulence(),
        like.turbulenceS());
  }

  private static SimulatedShortSide shortSide(double critical, double width, double relaxationS) {
    return new SimulatedShortSide(Direction.SUCTION, critical, width, 0.08, relaxationS, 1.6, 0);
  }

  /**
   * A section of 3700 mm² in series: heads add, each with the square of the flow over its area.
   * Both ways of the air alike.
   */
  private static List<Port.Step> choked(Port port) {
    double section = 3.7e-3;
    List<Port.Step> steps = new ArrayList<>();
    for (Port.Step step : port.steps()) {
      double curtain = Math.PI * port.headM() * step.liftM();
      steps.add(
          new Port.Step(
              step.liftM(),
              inSeries(step.suction() * curtain, section) / curtain,
              inSeries(step.blowing() * curtain, section) / curtain));
    }
    return steps;
  }

  private static double inSeries(double area, double section) {
    return 1 / Math.sqrt(1 / (area * area) + 1 / (section * section));
  }

  private static List<Port.Step> seatLost(Port port) {
    return port.steps().stream()
        .map(
            step -> {
              double left = 1 - 0.06 * Math.exp(-Math.pow(step.liftM() / (0.12 * INCH), 2));
              return new Port.Step(step.liftM(), step.suction() * left, step.blowing() * left);
            })
        .toList();
  }
}
