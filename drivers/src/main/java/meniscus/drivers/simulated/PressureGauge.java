package meniscus.drivers.simulated;

import java.util.SplittableRandom;
import meniscus.core.quantity.Unit;

/** One channel of the manometer: what it makes of the pressure at its tap. */
final class PressureGauge {

  private final Gauge gauge;
  private final SplittableRandom random;
  private final Wander tap;
  private final Wander drift;
  private final double follows;
  private final double tapTurbulence;
  private final double offsetPa;
  private final double driftPa;
  private final double gain;
  private final double noisePa;
  private final double quantumPa;
  private double seenPa;

  PressureGauge(Gauge gauge, Scenario scenario, SplittableRandom random, double stepS) {
    this.gauge = gauge;
    this.random = random.split();
    tap = new Wander(random.split(), gauge.tapTurbulenceS(), stepS);
    drift = new Wander(random.split(), gauge.driftS(), Manometer.READING_S);
    double lagS = gauge.lagS() * scenario.scale(Effect.GAUGE_LAG);
    follows = lagS > 0 ? -Math.expm1(-stepS / lagS) : 1;
    tapTurbulence = gauge.tapTurbulence() * scenario.scale(Effect.TAP_TURBULENCE);
    offsetPa = gauge.offsetPa() * scenario.scale(Effect.ZERO_OFFSET);
    driftPa = gauge.driftPa() * scenario.scale(Effect.ZERO_DRIFT);
    gain = 1 + gauge.gainError() * scenario.scale(Effect.GAIN_ERROR);
    noisePa = gauge.noisePa() * scenario.scale(Effect.GAUGE_NOISE);
    quantumPa = gauge.quantumPa() * scenario.scale(Effect.QUANTUM);
  }

  void step(double pressurePa) {
    double atTapPa = pressurePa * (1 + tapTurbulence * tap.step());
    seenPa += follows * (atTapPa - seenPa);
  }

  /** Writes a reading: inH2O with three decimals, or {@code OVER}. */
  void read(AsciiLine line) {
    double pressurePa =
        (seenPa + offsetPa + driftPa * drift.step()) * gain + noisePa * random.nextGaussian();
    if (Math.abs(pressurePa) > gauge.rangePa()) {
      line.text("OVER");
      return;
    }
    double shownPa = quantumPa > 0 ? Math.rint(pressurePa / quantumPa) * quantumPa : pressurePa;
    line.number(Unit.INCH_OF_WATER.fromSi(shownPa), 3, true);
  }

  /** What the regulator steers by [Pa]. */
  double seenPa() {
    return seenPa;
  }
}
