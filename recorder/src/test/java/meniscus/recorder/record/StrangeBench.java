package meniscus.recorder.record;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.locks.LockSupport;
import java.util.function.DoubleSupplier;
import java.util.function.DoubleUnaryOperator;
import java.util.function.Supplier;
import meniscus.drivers.line.serial.PseudoTerminal;

/**
 * A bench that is no kin of the simulated one: other physics, other noise, other instruments, in a
 * process of its own behind pseudo-terminals. The flow is that of two orifices in a row; the air's
 * noise is skewed (log-normal), the gauges' heavy-tailed (Student's t, 4 degrees of freedom).
 *
 * <p>Started with a kind and a folder for the ports; takes a command a line on standard input:
 * {@code area 9.3e-4} m² mounted, {@code aim 6974} Pa, {@code lift 3.8} mm; and from three seconds
 * later on, for a gap is one only where readings of the same average came before it: {@code mute
 * 1.8} s of garbage instead of readings, {@code sleep 2.5} s of silence until a question wakes it,
 * {@code reset 0.7} s after which it starts as if switched on. Says {@code ready} when its ports
 * are there.
 */
final class StrangeBench {

  /** The flow element that the bench file describes by another coefficient [m²]. */
  static final double ELEMENT_M2 = 0.615 * Math.PI / 4 * 0.060 * 0.060;

  static final double ROOM_PA = 100_000;
  private static final double STEP_SECONDS = 0.001;
  private static final double BLOWER_SECONDS = 0.5;
  private static final double AIR_SECONDS = 0.08;

  /** Between looks at the clock: seven benches that look more often keep a core from all else. */
  private static final long LOOK_NANOS = 4_000_000;

  private final Random random = new Random(1607);
  private final List<Gauge> gauges = new ArrayList<>();
  private final BlockingQueue<String> commands = new LinkedBlockingQueue<>();
  private double now;
  private double aimPa;
  private double meanPa;
  private double areaM2 = 1e-4;
  private double liftMm;
  private double air;
  private double flutter;
  private double wildness = 0.006;
  private Trouble trouble = new Trouble("", 0, 0);

  /** What happens to the gauges but the dial, from a moment to another [s]. */
  private record Trouble(String what, double from, double until) {
    boolean is(String asked, double now) {
      return what.equals(asked) && now >= from && now < until;
    }
  }

  /** One stream of lines: samples by its own clock, sent in chunks. */
  private final class Gauge {
    final PseudoTerminal port = PseudoTerminal.open();
    final double period;
    final int chunk;
    final double tick;
    final List<DoubleSupplier> values;
    final double[] sums;
    final List<DoubleUnaryOperator> slowness = new ArrayList<>();
    final String form;
    final StringBuilder held = new StringBuilder();
    final boolean asked;
    final boolean counts;
    final StringBuilder question = new StringBuilder();
    int inChunk;
    int taken;
    int nonsense;
    boolean off;
    double next;
    double send;

    /**
     * @param chunk samples sent at once; with a tick all that are there then [s]; 0: one each time
     *     it is asked
     * @param slow how the gauge smooths each value
     * @param form of a line; with a {@code #} for the number of the sample
     */
    Gauge(
        Path link,
        double period,
        int chunk,
        double tick,
        Supplier<DoubleUnaryOperator> slow,
        String form,
        List<DoubleSupplier> values)
        throws IOException {
      this.asked = chunk == 0;
      this.counts = form.contains("#");
      Files.createSymbolicLink(link, Path.of(port.path()));
      this.period = period;
      this.chunk = chunk;
      this.tick = tick;
      this.form = form;
      this.values = values;
      this.sums = new double[values.size()];
      values.forEach(value -> slowness.add(slow.get()));
      held.append("boot 2.1\r\n?\u00ff\r\n");
    }

    void turn() {
      for (int i = 0; i < sums.length; i++) {
        sums[i] = slowness.get(i).applyAsDouble(values.get(i).getAsDouble());
      }
      if (now >= next) {
        next += period;
        if (asked) {
          answer();
        } else {
          sample();
        }
      }
      boolean due = asked ? held.length() > 0 : tick > 0 ? now >= send : inChunk >= chunk;
      if (due) {
        send += tick > 0 ? tick : 0;
        inChunk = 0;
        port.spill(held.toString());
        held.setLength(0);
      }
    }

    /** One line for each question; asleep it hears none, and the one that wakes it gets none. */
    private void answer() {
      question.append(port.read(0));
      int end = question.indexOf("\n");
      if (end < 0) {
        return;
      }
      question.delete(0, end + 1);
      if (trouble.is("sleep", now)) {
        off = true;
      } else if (off) {
        off = false;
        held.append("waking up 2.1\r\n");
      } else {
        sample();
      }
    }

    private void sample() {
      inChunk++;
      if (counts && trouble.is("reset", now)) {
        off = true;
        return;
      }
      if (off && counts) {
        off = false;
        taken = 0;
        nonsense = 8;
        held.append("boot 2.1\r\n");
      }
      Object[] shown = new Object[sums.length];
      for (int i = 0; i < shown.length; i++) {
        shown[i] = nonsense > 0 ? 0.0 : sums[i];
      }
      nonsense--;
      held.append(
          trouble.is("mute", now)
              ? "#~" + taken + "\r\n"
              : String.format(Locale.ROOT, form.replace("#", "" + taken % 65536), shown));
      taken++;
    }
  }

  private StrangeBench(String kind, Path folder) throws IOException {
    switch (kind) {
      case "adapter" ->
          // 200 a second behind an adapter's timer of 16 ms.
          gauge(
              folder,
              "both",
              0.005,
              1,
              0.016,
              QUICK,
              "%.2f,%.2f\r\n",
              this::depression,
              this::drop);
      case "radio" ->
          // The mean of the last second, five a second in steps, four at a time.
          gauge(
              folder,
              "both",
              0.2,
              4,
              0,
              mean(1),
              "%.0f,%.0f\r\n",
              () -> 5 * Math.rint(depression() / 5),
              () -> 5 * Math.rint(drop() / 5));
      case "apart" -> {
        // Two clocks, 300 ppm apart.
        gauge(folder, "depression", 0.05 * 1.0003, 3, 0, QUICK, "%.1f\r\n", this::depression);
        gauge(folder, "drop", 0.08, 2, 0, QUICK, "%.1f\r\n", this::drop);
      }
      case "sleeper" ->
          // Answers when it is asked.
          gauge(
              folder, "both", 0.01, 0, 0, lag(0.1), "%.1f,%.1f\r\n", this::depression, this::drop);
      case "resetter" ->
          gauge(folder, "both", 0.02, 2, 0, QUICK, "#,%.1f,%.1f\r\n", this::depression, this::drop);
      case "slow" ->
          gauge(folder, "both", 1, 1, 0, lag(0.5), "%.0f,%.0f\r\n", this::depression, this::drop);
      case "wild" -> {
        wildness = 1.5;
        gauge(folder, "both", 0.05, 1, 0, QUICK, "%.1f,%.1f\r\n", this::depression, this::drop);
      }
      default -> throw new IllegalArgumentException(kind);
    }
    gauge(folder, "dial", 0.1, 3, 0, QUICK, "%.3f\r\n", () -> liftMm);
  }

  private void gauge(
      Path folder,
      String name,
      double period,
      int chunk,
      double tick,
      Supplier<DoubleUnaryOperator> slow,
      String form,
      DoubleSupplier... values)
      throws IOException {
    gauges.add(new Gauge(folder.resolve(name), period, chunk, tick, slow, form, List.of(values)));
  }

  private static final Supplier<DoubleUnaryOperator> QUICK = DoubleUnaryOperator::identity;

  /** A first-order lag. */
  private static Supplier<DoubleUnaryOperator> lag(double seconds) {
    return () -> {
      double[] shown = {0};
      return value -> shown[0] += STEP_SECONDS / seconds * (value - shown[0]);
    };
  }

  /** The mean of all that was in the last so many seconds. */
  private static Supplier<DoubleUnaryOperator> mean(double seconds) {
    return () -> {
      double[] last = new double[(int) Math.round(seconds / STEP_SECONDS)];
      double[] sum = {0};
      int[] at = {0};
      return value -> {
        sum[0] += value - last[at[0]];
        last[at[0]] = value;
        at[0] = (at[0] + 1) % last.length;
        return sum[0] / last.length;
      };
    };
  }

  private double pressurePa() {
    return meanPa * (1 + 0.005 * (Math.exp(0.8 * air - 0.32) - 1));
  }

  private double depression() {
    return 12 + pressurePa() + 0.2 * heavy();
  }

  private double drop() {
    double ratio = areaM2 / ELEMENT_M2;
    double drop = pressurePa() * ratio * ratio / (1 - meanPa / ROOM_PA);
    double times = Math.max(0.02, 1 + wildness * (Math.exp(0.8 * flutter - 0.32) - 1));
    return -7 + drop * times + 0.2 * heavy();
  }

  /** Student's t with four degrees of freedom, of standard deviation 1. */
  private double heavy() {
    double chi = 0;
    for (int i = 0; i < 4; i++) {
      double g = random.nextGaussian();
      chi += g * g;
    }
    return random.nextGaussian() / Math.sqrt(chi / 4) / Math.sqrt(2);
  }

  private void command(String line) {
    String[] words = line.split(" ");
    double value = Double.parseDouble(words[1]);
    switch (words[0]) {
      case "area" -> areaM2 = value;
      case "aim" -> aimPa = value;
      case "lift" -> liftMm = value;
      case "mute", "sleep", "reset" -> trouble = new Trouble(words[0], now + 3, now + 3 + value);
      default -> throw new IllegalArgumentException(line);
    }
  }

  private void run() {
    long start = System.nanoTime();
    double keep = Math.exp(-STEP_SECONDS / AIR_SECONDS);
    while (true) {
      for (String line = commands.poll(); line != null; line = commands.poll()) {
        if (line.isEmpty()) {
          return;
        }
        command(line);
      }
      double wall = (System.nanoTime() - start) * 1e-9;
      while (now < wall) {
        now += STEP_SECONDS;
        meanPa += (aimPa - meanPa) * STEP_SECONDS / BLOWER_SECONDS;
        air = keep * air + Math.sqrt(1 - keep * keep) * random.nextGaussian();
        flutter = keep * flutter + Math.sqrt(1 - keep * keep) * random.nextGaussian();
        gauges.forEach(Gauge::turn);
      }
      LockSupport.parkNanos(LOOK_NANOS);
    }
  }

  public static void main(String[] arguments) throws IOException {
    StrangeBench bench = new StrangeBench(arguments[0], Path.of(arguments[1]));
    Thread listener = new Thread(() -> listen(bench.commands), "commands");
    listener.setDaemon(true);
    listener.start();
    System.out.println("ready");
    bench.run();
  }

  private static void listen(BlockingQueue<String> commands) {
    try (BufferedReader reader =
        new BufferedReader(new InputStreamReader(System.in, StandardCharsets.UTF_8))) {
      for (String line = reader.readLine(); line != null; line = reader.readLine()) {
        commands.add(line);
      }
    } catch (IOException gone) {
      // As its end.
    }
    commands.add("");
  }
}
