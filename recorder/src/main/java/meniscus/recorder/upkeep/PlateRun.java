package meniscus.recorder.upkeep;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.bench.Bench;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;
import meniscus.recorder.session.Drivers;
import meniscus.recorder.session.Feeds;

/**
 * Reads plates in the head's place, one after the other.
 *
 * @param bench as its file says
 * @param benchFile its file
 * @param drivers that can be used
 * @param range that is used
 * @param direction suction or blowing
 * @param simulation when the bench is the simulated one; its plates are mounted by bore
 */
public record PlateRun(
    Bench bench,
    Path benchFile,
    Drivers drivers,
    Range range,
    Direction direction,
    Feeds.Simulation simulation) {

  /** The person at the bench. */
  public interface Operator {

    /**
     * Asks to mount a plate.
     *
     * @return where its bevel looks; empty to leave this plate out
     */
    Optional<Bevel> mounted(Plate plate);

    /** A reading was taken. */
    void read(PlateReading reading);

    /** A reading could not be taken; the others go on. */
    void missed(Plate plate, String why);
  }

  /**
   * @param testPressuresPa of each plate [Pa]
   * @throws IllegalArgumentException when a plate stands the wrong way round
   */
  public List<PlateReading> read(
      List<Plate> plates, List<Double> testPressuresPa, Operator operator)
      throws InterruptedException {
    List<PlateReading> readings = new ArrayList<>();
    for (Plate plate : plates) {
      Optional<Bevel> bevel = operator.mounted(plate);
      if (bevel.isPresent()) {
        try (Stand stand = open(plate)) {
          for (double pressure : testPressuresPa) {
            read(stand, plate, bevel.get(), pressure, operator).ifPresent(readings::add);
          }
        }
      }
    }
    return readings;
  }

  private Optional<PlateReading> read(
      Stand stand, Plate plate, Bevel bevel, double pressure, Operator operator)
      throws InterruptedException {
    if (bevel == Bevel.UPSTREAM) {
      PlateReading.refuseUpstream(plate.name());
    }
    try {
      PlateReading reading = new PlateReading(plate.name(), bevel, stand.at(pressure));
      operator.read(reading);
      return Optional.of(reading);
    } catch (IllegalArgumentException e) {
      operator.missed(plate, e.getMessage());
      return Optional.empty();
    }
  }

  private Stand open(Plate plate) {
    boolean simulated = Feeds.isSimulated(Feeds.wire(bench, benchFile, drivers));
    Feeds.Simulation with =
        simulated
            ? new Feeds.Simulation(
                simulation.quick(), simulation.seed(), SimulatedPlates.like(plate))
            : simulation;
    return Stand.open(bench, benchFile, drivers, range, direction, with);
  }
}
