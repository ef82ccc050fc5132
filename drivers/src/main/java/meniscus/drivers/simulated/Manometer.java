package meniscus.drivers.simulated;

import java.util.SplittableRandom;

/** The two-channel manometer of the shipped sheet: two pressures, 50 times a second. */
final class Manometer {

  static final String ID = "two-channel-manometer";

  /** Nominal time from reading to reading [s]. */
  static final double READING_S = 0.02;

  private static final double BYTE_S = 10 / 115_200.0;

  private final InstrumentWire wire = new InstrumentWire();
  private final AsciiLine line = new AsciiLine();
  private final SplittableRandom late;
  private final PressureGauge testPressure;
  private final PressureGauge elementDrop;
  private final double periodS;
  private final double jitterS;
  private double nextS;

  Manometer(Scenario scenario, SplittableRandom random, double stepS) {
    Scenario.Gauges gauges = scenario.gauges();
    testPressure = new PressureGauge(gauges.testPressure(), scenario, random, stepS);
    elementDrop = new PressureGauge(gauges.elementDrop(), scenario, random, stepS);
    late = random.split();
    periodS = READING_S / (1 + gauges.clockError());
    jitterS = gauges.jitterS() * scenario.scale(Effect.ARRIVAL_JITTER);
    wire.send(0, line.text("# two-channel manometer\r\n").take());
  }

  void step(double nowS, double testPressurePa, double elementDropPa) {
    testPressure.step(testPressurePa);
    elementDrop.step(elementDropPa);
    if (nowS >= nextS) {
      line.text("P1,");
      testPressure.read(line);
      line.text(",P2,");
      elementDrop.read(line);
      byte[] bytes = line.text("*").hex(checkOfCovered(), 2).text("\r\n").take();
      double lateS = jitterS == 0 ? 0 : -jitterS * Math.log1p(-late.nextDouble());
      wire.send(Math.round((nextS + bytes.length * BYTE_S + lateS) * 1e9), bytes);
      nextS += periodS;
    }
  }

  /** The check covers what stands before the star. */
  private int checkOfCovered() {
    return line.xor() ^ '*';
  }

  double seenTestPressurePa() {
    return testPressure.seenPa();
  }

  InstrumentWire wire() {
    return wire;
  }
}
