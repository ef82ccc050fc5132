package meniscus.drivers.simulated;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.function.ToDoubleFunction;
import meniscus.core.time.Moment;

/** A simulated bench with what the tests do to it again and again. */
final class Stand {

  static final double INCH = 0.0254;
  static final double INCH_OF_WATER = 249.08891;

  /** 28 inH2O. */
  static final double AIM = 28 * INCH_OF_WATER;

  static final double CFM = INCH * INCH * INCH * 1728 / 60;

  final SimulatedBench bench;

  Stand(Scenario scenario, long seed) {
    bench = new SimulatedBench(scenario, seed);
  }

  /** With the blower on, and long enough for everything to settle. */
  static Stand running(Scenario scenario, Mounted mounted, double liftM, double aimPa, long seed) {
    Stand stand = new Stand(scenario, seed);
    stand.bench.mount(mounted);
    stand.bench.setLift(liftM);
    stand.bench.aimPressure(aimPa);
    stand.bench.blower(true);
    stand.run(40);
    return stand;
  }

  void run(double seconds) {
    bench.advanceTo(bench.now().plusSeconds(seconds));
  }

  /** What is true at every step of the simulation. */
  double[] follow(double seconds, ToDoubleFunction<Truth> what) {
    int count = (int) Math.round(seconds * 1e9 / SimulatedBench.STEP_NANOS);
    double[] values = new double[count];
    for (int i = 0; i < count; i++) {
      bench.advanceTo(new Moment(bench.now().nanos() + SimulatedBench.STEP_NANOS));
      values[i] = what.applyAsDouble(bench.truth());
    }
    return values;
  }

  /** The lines that arrive from one instrument; half a line at the end is left out. */
  List<String> hear(String instrument, double seconds) {
    run(seconds);
    ByteBuffer buffer = ByteBuffer.allocate(1 << 22);
    bench.drain(instrument, buffer);
    String text = new String(buffer.array(), 0, buffer.position(), StandardCharsets.US_ASCII);
    List<String> lines = new ArrayList<>();
    int start = 0;
    for (int i = 0; i < text.length(); i++) {
      boolean ends = text.charAt(i) == (instrument.equals(SimulatedBench.DIAL) ? '\r' : '\n');
      if (ends) {
        lines.add(text.substring(start, i + 1));
        start = i + 1;
      }
    }
    return lines;
  }

  void forget() {
    bench.drain((instrument, at, bytes) -> {});
  }

  static double mean(double[] values) {
    double sum = 0;
    for (double value : values) {
      sum += value;
    }
    return sum / values.length;
  }

  static double deviation(double[] values) {
    double mean = mean(values);
    double sum = 0;
    for (double value : values) {
      sum += (value - mean) * (value - mean);
    }
    return Math.sqrt(sum / values.length);
  }

  /** Correlation of a series with itself so many steps later. */
  static double correlation(double[] values, int steps) {
    double mean = mean(values);
    double sum = 0;
    for (int i = 0; i + steps < values.length; i++) {
      sum += (values[i] - mean) * (values[i + steps] - mean);
    }
    double deviation = deviation(values);
    return sum / (values.length - steps) / (deviation * deviation);
  }
}
