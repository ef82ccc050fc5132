package meniscus.recorder.upkeep;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Function;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.feed.GaugeReader;
import meniscus.recorder.file.KeptLine;
import meniscus.recorder.file.ReadingLine;

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

  /**
   * A plate in the head's place.
   *
   * @param order of the plate in this run, from 0
   */
  record Mounted(int order, Plate plate, Bevel bevel) {}

  /** What is done with a plate at one test pressure. */
  interface Reading<L> {

    /**
     * @throws Refusal when it cannot be done: why, and what to look at
     */
    L read(BenchStation stand, Mounted mounted, double testPressurePa) throws InterruptedException;
  }

  /**
   * @param testPressuresPa of each plate [Pa]
   * @throws Refusal when a plate stands the wrong way round
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
      List<Plate> plates,
      List<Double> testPressuresPa,
      Operator operator,
      ReadingsSoFar<ReadingLine> soFar)
      throws InterruptedException {
    return read(plates, testPressuresPa, operator, Optional.of(soFar));
  }

  private List<PlateReading> read(
      List<Plate> plates,
      List<Double> testPressuresPa,
      Operator operator,
      Optional<ReadingsSoFar<ReadingLine>> soFar)
      throws InterruptedException {
    return each(
            plates,
            testPressuresPa,
            operator,
            soFar,
            (stand, mounted, pressure) ->
                new ReadingLine(
                    pressure,
                    new PlateReading(mounted.plate().name(), mounted.bevel(), stand.at(pressure))),
            line -> words(line.reading()))
        .stream()
        .map(ReadingLine::reading)
        .toList();
  }

  /**
   * Each plate at every test pressure, but for what an interrupted run has left.
   *
   * @param soFar keeps each reading at once; empty to keep none
   * @param words what the operator is told of a reading, once it is kept
   */
  <L extends KeptLine> List<L> each(
      List<Plate> plates,
      List<Double> testPressuresPa,
      Operator operator,
      Optional<ReadingsSoFar<L>> soFar,
      Reading<L> reading,
      Function<L, String> words)
      throws InterruptedException {
    List<L> readings = new ArrayList<>();
    for (int i = 0; i < plates.size(); i++) {
      Plate plate = plates.get(i);
      List<Double> open = new ArrayList<>();
      for (double pressure : testPressuresPa) {
        soFar
            .flatMap(kept -> kept.of(plate, pressure))
            .ifPresentOrElse(readings::add, () -> open.add(pressure));
      }
      Optional<Bevel> bevel = open.isEmpty() ? Optional.empty() : mounted(plate, operator);
      if (bevel.isPresent()) {
        Mounted mounted = new Mounted(i, plate, bevel.get());
        try (BenchStation stand = open(mounted, operator)) {
          for (double pressure : open) {
            stand.wanted(pressure).ifPresent(operator::told);
            try {
              L read = reading.read(stand, mounted, pressure);
              soFar.ifPresent(kept -> kept.add(read, operator));
              operator.told(words.apply(read));
              readings.add(read);
            } catch (Refusal e) {
              operator.missed(plate, e.getMessage());
            }
          }
        }
      }
    }
    return readings;
  }

  /** Asks for a plate; refuses it the wrong way round before time is spent on it. */
  private static Optional<Bevel> mounted(Plate plate, Operator operator)
      throws InterruptedException {
    Optional<Bevel> bevel = operator.mounted(plate);
    if (bevel.filter(Bevel.UPSTREAM::equals).isPresent()) {
      PlateReading.refuseUpstream(plate.name());
    }
    return bevel;
  }

  /** No two plates of a run have the simulated bench's same minutes. */
  private BenchStation open(Mounted mounted, Operator operator) throws InterruptedException {
    if (!at.simulated()) {
      return BenchStation.open(at, range, direction, operator);
    }
    Feeds.Simulation given = at.simulation();
    return BenchStation.open(
        at.with(
            new Feeds.Simulation(
                given.quick(),
                given.seed() * 1000 + mounted.order(),
                SimulatedPlates.like(mounted.plate()))),
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
