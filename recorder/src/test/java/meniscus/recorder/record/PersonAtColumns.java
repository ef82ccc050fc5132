package meniscus.recorder.record;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PipedInputStream;
import java.io.PipedOutputStream;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.Optional;
import java.util.function.ToDoubleFunction;
import java.util.function.UnaryOperator;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import meniscus.core.flow.Direction;
import meniscus.core.time.Moment;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.drivers.simulated.SimulatedBench;
import meniscus.drivers.simulated.SimulatedOperator;
import meniscus.drivers.simulated.Truth;
import meniscus.recorder.cli.MeniscusCommand;
import meniscus.recorder.record.Recorder.Ran;

/**
 * A person with nothing but liquid columns at the simulated bench: does what the program says,
 * looks at each column for some seconds and types the graduations between which it stood. What the
 * columns show is what the simulation's equations say of pressure and drop; no instrument of it is
 * asked.
 */
public final class PersonAtColumns extends ByteArrayOutputStream {

  private static final double INCH_OF_WATER_PA = 249.08891;
  private static final double SETTLE_SECONDS = 30;
  private static final double LOOK_SECONDS = 5;
  private static final double LOOK_STEP_SECONDS = 0.1;

  /** He types each half inch that a falling column passes. */
  private static final double MARKS = 0.5;

  private static final Pattern SET = Pattern.compile("set the test pressure to ([0-9.]+) inH2O.*");
  private static final Pattern MOUNT = Pattern.compile(".*Mount plate ([0-9.]+) .*");

  private final SimulatedBench bench;
  private final SimulatedOperator hands;
  private final double step;
  private PipedOutputStream typed = new PipedOutputStream();
  private double pressureOff;
  private double dropOff;
  private UnaryOperator<String> says = answer -> answer;
  private Optional<Thread> thumb = Optional.empty();
  private int from;

  /**
   * @param step graduation of the columns [inH2O]
   */
  public PersonAtColumns(long seed, String range, double step) {
    this.bench = new SimulatedBench(Scenario.demo(), seed);
    this.hands = new SimulatedOperator(bench, seed);
    this.step = step;
    bench.direction(Direction.SUCTION);
    bench.range(range);
  }

  /** Switches another flow element on. */
  public void range(String name) {
    bench.range(name);
  }

  /** With scales that cannot be set: at rest the columns show this [inH2O]. */
  PersonAtColumns withScalesOff(double pressure, double drop) {
    pressureOff = pressure;
    dropOff = drop;
    return this;
  }

  /**
   * Types something else than he meant to.
   *
   * @param changed of each line; an empty one ends standard input
   */
  PersonAtColumns typing(UnaryOperator<String> changed) {
    says = changed;
    return this;
  }

  /** Runs a command that he answers. */
  Ran answers(Object... arguments) throws IOException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    typed = new PipedOutputStream();
    try (PipedInputStream in = new PipedInputStream(typed)) {
      from = 0;
      reset();
      int code =
          MeniscusCommand.run(
              new PrintStream(out, true, StandardCharsets.UTF_8),
              new PrintStream(this, true, StandardCharsets.UTF_8),
              in,
              Stream.of(arguments).map(Object::toString).toArray(String[]::new));
      thumb.ifPresent(Thread::interrupt);
      return new Ran(code, out.toString(StandardCharsets.UTF_8), toString(StandardCharsets.UTF_8));
    }
  }

  private void type(String meant) {
    types(says.apply(meant));
  }

  void types(String line) {
    try {
      if (line.isEmpty()) {
        typed.close();
      } else {
        typed.write((line + "\n").getBytes(StandardCharsets.UTF_8));
        typed.flush();
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Override
  public synchronized void write(byte[] bytes, int offset, int length) {
    super.write(bytes, offset, length);
    String said = toString(StandardCharsets.UTF_8);
    for (int end = said.indexOf('\n', from); end >= 0; end = said.indexOf('\n', from)) {
      String line = said.substring(from, end);
      from = end + 1;
      answer(line);
    }
  }

  private void answer(String line) {
    Matcher set = SET.matcher(line);
    Matcher mount = MOUNT.matcher(line);
    if (thumb.isPresent()) {
      return; // His hands are full.
    }
    if (mount.matches()) {
      mount(plate(Double.parseDouble(mount.group(1)) * 1e-3));
      type("downstream");
    } else if (line.contains("shut the blower's valve")) {
      mount(new Mounted.Blank());
      blow(28.5);
      hands.valve(true);
      pass(2);
      type("ready");
    } else if (line.contains("Close the bench's hole")) {
      mount(new Mounted.Blank());
      type("ready");
    } else if (line.startsWith("watch the column fall")) {
      thumb = Optional.of(new Thread(this::typesMarks, "thumb on Enter"));
      thumb.get().start();
    } else if (set.matches()) {
      blow(Double.parseDouble(set.group(1)));
    } else if (line.contains("Type yes to use them")) {
      type("yes");
    } else if (line.startsWith("type what you read") || line.contains("read anew")) {
      type("test_pressure " + pressure() + "; drop " + drop());
    } else if (line.contains("; keep takes")) {
      type("keep");
    }
  }

  /** Presses Enter each time the column passes a mark, by the clock on the wall. */
  private void typesMarks() {
    try {
      Moment began = bench.now();
      long beganNanos = System.nanoTime();
      double mark = Math.floor(inches() / MARKS) * MARKS;
      while (true) {
        hands.advanceTo(began.plusSeconds((System.nanoTime() - beganNanos) * 1e-9));
        if (inches() <= mark) {
          type(String.format(Locale.ROOT, "test_pressure %.2f", mark + pressureOff));
          mark -= MARKS;
        }
        Thread.sleep(5);
      }
    } catch (InterruptedException e) {
      // The command has ended.
    }
  }

  private double inches() {
    return bench.truth().pressures().testPa() / INCH_OF_WATER_PA;
  }

  /** Puts something in the head's place, the blower off meanwhile. */
  public void mount(Mounted what) {
    hands.blower(false);
    hands.mount(what);
    pass(20);
  }

  /** Holds a test pressure [inH2O]. */
  public void blow(double inches) {
    hands.aimPressure(inches * INCH_OF_WATER_PA);
    hands.blower(true);
    pass(SETTLE_SECONDS);
  }

  private void pass(double seconds) {
    hands.advanceTo(bench.now().plusSeconds(seconds));
  }

  /** What the column of the test pressure shows. */
  public String pressure() {
    return reads(truth -> truth.pressures().testPa(), pressureOff);
  }

  /** What the column across the flow element shows. */
  public String drop() {
    return reads(truth -> truth.pressures().elementDropPa(), dropOff);
  }

  /** One number where the column stood still to its graduation, else its low and high. */
  private String reads(ToDoubleFunction<Truth> pascals, double off) {
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    Moment end = bench.now().plusSeconds(LOOK_SECONDS);
    while (!bench.now().isAfter(end)) {
      pass(LOOK_STEP_SECONDS);
      double shown =
          Math.round((pascals.applyAsDouble(bench.truth()) / INCH_OF_WATER_PA + off) / step) * step;
      low = Math.min(low, shown);
      high = Math.max(high, shown);
    }
    return low == high
        ? String.format(Locale.ROOT, "%.2f", low)
        : String.format(Locale.ROOT, "%.2f..%.2f", low, high);
  }

  /** A plate of the simulated bench. */
  public static Mounted plate(double boreM) {
    Optional<? extends Mounted> plate =
        Scenario.demo().plates().stream()
            .filter(each -> Math.abs(each.boreM() - boreM) < 1e-6)
            .findFirst();
    return plate.orElseThrow();
  }
}
