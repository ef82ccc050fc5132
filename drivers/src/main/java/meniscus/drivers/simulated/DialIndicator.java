package meniscus.drivers.simulated;

import java.util.SplittableRandom;

/** The dial indicator of the shipped sheet: the lift, 10 times a second. */
final class DialIndicator {

  static final String ID = "dial-indicator";

  private static final double PERIOD_S = 0.1;
  private static final double BYTE_S = 10 / 9600.0;
  private static final double RANGE_M = 25.4e-3;
  private static final double INCH_M = 0.0254;

  private final InstrumentWire wire = new InstrumentWire();
  private final AsciiLine line = new AsciiLine();
  private final SplittableRandom random;
  private final Scenario.Dial dial;
  private final double zeroScale;
  private final double noiseM;
  private final double quantumM;
  private double fixedZeroM;
  private double nextS = 0.037;
  private double shownM;

  DialIndicator(Scenario scenario, SplittableRandom random) {
    this.random = random;
    dial = scenario.dial();
    zeroScale = scenario.scale(Effect.LIFT_ZERO);
    noiseM = dial.noiseM() * scenario.scale(Effect.GAUGE_NOISE);
    quantumM = dial.quantumM() * scenario.scale(Effect.QUANTUM);
  }

  /** Error of the zero that came with this fitting of the head. */
  void fixedWithZero(double metres) {
    fixedZeroM = metres;
  }

  void step(double nowS, double followedM, double testPressurePa) {
    if (nowS < nextS) {
      return;
    }
    double bent = zeroScale * (dial.zeroM() + dial.flexMPerPa() * testPressurePa);
    double readM = followedM + fixedZeroM + bent + noiseM * random.nextGaussian();
    shownM = quantumM > 0 ? Math.rint(readM / quantumM) * quantumM : readM;
    line.text("L ");
    if (Math.abs(shownM) > RANGE_M) {
      line.text("-----");
    } else if (dial.inches()) {
      line.number(shownM / INCH_M, 4, true);
    } else {
      line.number(shownM * 1e3, 3, true);
    }
    byte[] bytes = line.text(dial.inches() ? " in\r" : " mm\r").take();
    wire.send(Math.round((nextS + bytes.length * BYTE_S) * 1e9), bytes);
    nextS += PERIOD_S;
  }

  /** What a person reads off it [m]. */
  double shownM() {
    return shownM;
  }

  InstrumentWire wire() {
    return wire;
  }
}
