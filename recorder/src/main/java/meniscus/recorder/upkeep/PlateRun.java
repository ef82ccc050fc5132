package meniscus.recorder.upkeep;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;
import meniscus.recorder.file.ReadingLine;
import meniscus.recorder.session.Feeds;
import meniscus.recorder.session.GaugeReader;

/**
 * Mounts plates in the head's place, one after the other, and reads each at several test pressures.
 *
 * @param at the bench; the simulated one mounts its plates itself, by their bore
 * @param range that is used
 * @param direction suction or blowing
 */
public record PlateRun(BenchAt at, Range range, Direction direction) {

  /** The person at the bench. */
  public interface Operator extends GaugeReader {

    /**
     * Asks to mount a plate.
     *
     * @return where its bevel looks; empty to leave this plate out
     */
    Optional<Bevel> mounted(Plate plate) throws InterruptedException;

    /**
     * Readings of an interrupted run are at hand.
     *
     * @param left which ones
     * @return true when they are to be used, false to read those plates again
     */
    default boolean takesOver(String left) throws InterruptedException {
      told(left + " are used; a new zero makes them void");
      return true;
    }

    /** A reading could not be taken; the others go on. */
    void missed(Plate plate, String why);
  }

  /** What is done with a plate at one test pressure. */
  interface Reading<T> {

    /**
     * @throws IllegalArgumentException when it cannot be done: why, and what to look at
     */
    T read(Stand stand, Plate plate, double testPressurePa) throws InterruptedException;
  }

  /**
   * @param testPressuresPa of each plate [Pa]
   * @throws IllegalArgumentException when a plate stands the wrong way round
   */
  public List<PlateReading> read(
      List<Plate> plates, List<Double> testPressuresPa, Operator operator)
      throws InterruptedException {
    return read(plates, testPressuresPa, operator, Optional.empty());
  }

  /**
   * The same, each reading kept on the disk, and those used that an interrupted run has left there.
   */
  public List<PlateReading> read(
      List<Plate> plates, List<Double> testPressuresPa, Operator operator, ReadingsSoFar soFar)
      throws InterruptedException {
    return read(plates, testPressuresPa, operator, Optional.of(soFar));
  }

  private List<PlateReading> read(
      List<Plate> plates,
      List<Double> testPressuresPa,
      Operator operator,
      Optional<ReadingsSoFar> soFar)
      throws InterruptedException {
    List<PlateReading> readings = new ArrayList<>();
    for (int i = 0; i < plates.size(); i++) {
      Plate plate = plates.get(i);
      List<Double> open = new ArrayList<>();
      for (double pressure : testPressuresPa) {
        Optional<PlateReading> left =
            soFar.flatMap(kept -> kept.of(plate, pressure)).map(ReadingLine::reading);
        left.ifPresentOrElse(readings::add, () -> open.add(pressure));
      }
      Optional<Bevel> bevel = open.isEmpty() ? Optional.empty() : mounted(plate, operator);
      if (bevel.isPresent()) {
        readings.addAll(
            each(
                i,
                plate,
                open,
                operator,
                (stand, mounted, pressure) -> {
                  PlateReading reading =
                      new PlateReading(mounted.name(), bevel.get(), stand.at(pressure));
                  soFar.ifPresent(kept -> kept.add(new ReadingLine(pressure, reading), operator));
                  operator.told(words(reading));
                  return reading;
                }));
      }
    }
    return readings;
  }

  /** Asks for a plate; refuses it the wrong way round before time is spent on it. */
  static Optional<Bevel> mounted(Plate plate, Operator operator) throws InterruptedException {
    Optional<Bevel> bevel = operator.mounted(plate);
    if (bevel.filter(Bevel.UPSTREAM::equals).isPresent()) {
      PlateReading.refuseUpstream(plate.name());
    }
    return bevel;
  }

  /**
   * One plate at every test pressure.
   *
   * @param order of the plate in this run: no two plates have the simulated bench's same minutes
   */
  <T> List<T> each(
      int order, Plate plate, List<Double> testPressuresPa, Operator operator, Reading<T> reading)
      throws InterruptedException {
    List<T> read = new ArrayList<>();
    try (Stand stand = open(order, plate, operator)) {
      for (double pressure : testPressuresPa) {
        stand.wanted(pressure).ifPresent(operator::told);
        try {
          read.add(reading.read(stand, plate, pressure));
        } catch (IllegalArgumentException e) {
          operator.missed(plate, e.getMessage());
        }
      }
    }
    return read;
  }

  private Stand open(int order, Plate plate, Operator operator) throws InterruptedException {
    if (!at.simulated()) {
      return Stand.open(at, range, direction, operator);
    }
    Feeds.Simulation given = at.simulation();
    return Stand.open(
        at.with(
            new Feeds.Simulation(
                given.quick(), given.seed() * 1000 + order, SimulatedPlates.like(plate))),
        range,
        direction,
        operator);
  }

  private String words(PlateReading reading) {
    PointMeans means = reading.means();
    return String.format(
        Locale.ROOT,
        "plate %s: %s test pressure, %s drop, %s",
        reading.plate(),
        at.text(means.testPressurePa()),
        at.text(means.dropPa()),
        means.readByEye()
            ? "read by eye"
            : String.format(
                Locale.ROOT,
                "good to %.2f %%",
                200 * means.flowStandardError() / means.flowM3PerS()));
  }
}
