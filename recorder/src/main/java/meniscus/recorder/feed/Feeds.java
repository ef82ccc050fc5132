package meniscus.recorder.feed;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Instrument;
import meniscus.core.flow.Direction;
import meniscus.core.instrument.Channel;
import meniscus.core.instrument.InstrumentSheet;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.Scenario;
import meniscus.drivers.simulated.SimulatedBench;
import meniscus.drivers.simulated.SimulatedOperator;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.SheetFiles;

/** Opens the lines of a bench. */
public final class Feeds {

  /** The kind of line that the built-in simulated bench answers to. */
  public static final String SIMULATED = "simulated";

  private Feeds() {}

  /**
   * How the simulated bench is to be run, when it is one.
   *
   * @param quick simulated time instead of the clock on the wall
   * @param seed of noise, weather and fitting
   * @param mounted what stands on it
   * @param direction which way it moves the air
   * @param range of its flow element; empty for its first
   */
  public record Simulation(
      boolean quick, long seed, Mounted mounted, Direction direction, Optional<String> range) {

    /** Drawing, on the first range. */
    public Simulation(boolean quick, long seed, Mounted mounted) {
      this(quick, seed, mounted, Direction.SUCTION, Optional.empty());
    }

    /** The same, another way of the air. */
    public Simulation on(Direction way, String rangeName) {
      return new Simulation(quick, seed, mounted, way, Optional.of(rangeName));
    }

    /** The head as received, at the speed of the wall clock. */
    public static Simulation usual() {
      return new Simulation(false, 1, new Mounted.Head(Scenario.demo().before()));
    }
  }

  /** An open feed, and the clock whose parting from the wall clock can be watched. */
  public record Opened(Feed feed, Optional<TestClock> clock) {}

  /** True when every instrument of the bench is simulated. */
  public static boolean isSimulated(List<BoundInstrument> wired) {
    return wired.stream().allMatch(each -> each.kind().equals(SIMULATED));
  }

  /** The bench's instruments with their drivers and sheets, nothing opened. */
  public static List<BoundInstrument> wire(Bench bench, Path benchFile, Drivers drivers) {
    return BoundInstrument.all(bench, sheet -> SheetFiles.read(sheet, benchFile), drivers);
  }

  /**
   * The channels of a bench's instruments, as far as they are known without plugins; none of an
   * instrument whose sheet cannot be read, as a command that opens it will say.
   */
  static List<List<Channel>> channels(Bench bench, Path benchFile) {
    Drivers drivers = Drivers.shipped();
    return bench.instruments().stream()
        .map(instrument -> channels(instrument, benchFile, drivers))
        .toList();
  }

  private static List<Channel> channels(Instrument instrument, Path benchFile, Drivers drivers) {
    try {
      InstrumentSheet sheet = SheetFiles.read(instrument.sheet(), benchFile).instrument();
      return drivers.named(sheet.driver()).channels(sheet);
    } catch (Refusal | FileNotAccepted unknown) {
      return List.of();
    }
  }

  /**
   * Opens all lines.
   *
   * @param first moment that the feed's clock starts at
   * @throws Refusal when a line's settings do not fit: which, and what to do
   */
  public static Opened open(
      Bench bench, Path benchFile, Drivers drivers, Simulation simulation, Moment first) {
    return open(bench, wire(bench, benchFile, drivers), simulation, first);
  }

  /** The same for instruments that are wired already. */
  public static Opened open(
      Bench bench, List<BoundInstrument> wired, Simulation simulation, Moment first) {
    if (wired.stream().noneMatch(each -> each.kind().equals(SIMULATED))) {
      TestClock clock = TestClock.startingAt(first);
      return new Opened(new LiveFeed(bench, wired, clock), Optional.of(clock));
    }
    SimulatedBench simulated = new SimulatedBench(Scenario.demo(), simulation.seed());
    simulated.mount(simulation.mounted());
    simulated.direction(simulation.direction());
    simulation.range().ifPresent(simulated::range);
    if (!isSimulated(wired)) {
      TestClock clock = TestClock.startingAt(first);
      SimulatedLines beside =
          new SimulatedLines(simulated, new SimulatedOperator(simulated, simulation.seed()));
      return new Opened(new LiveFeed(bench, wired, clock, Optional.of(beside)), Optional.of(clock));
    }
    return new Opened(simulated(bench, wired, simulated, simulation, first), Optional.empty());
  }

  /** A feed of a simulated bench that is already there. */
  public static Feed simulated(
      Bench bench,
      List<BoundInstrument> wired,
      SimulatedBench simulated,
      Simulation simulation,
      Moment first) {
    return new SimulatedFeed(
        bench,
        wired,
        simulated,
        new SimulatedOperator(simulated, simulation.seed()),
        !simulation.quick(),
        first);
  }
}
