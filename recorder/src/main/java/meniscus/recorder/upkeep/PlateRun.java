package meniscus.recorder.upkeep;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Function;
import meniscus.core.bench.Range;
import meniscus.core.calibrate.CalibrationFit;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.feed.LeftOut;
import meniscus.recorder.file.KeptLine;
import meniscus.recorder.file.PlateMounted;
import meniscus.recorder.file.ReadingLine;
import meniscus.recorder.session.PlateRecording;

/**
 * Mounts plates in the head's place, one after the other, and reads each at several test pressures.
 *
 * @param at the bench; the simulated one mounts its plates itself, by their bore
 * @param range that is used
 * @param direction suction or blowing
 * @param keeps where the raw readings of each plate are kept; empty to keep none
 */
public record PlateRun(BenchAt at, Range range, Direction direction, Optional<UpkeepPlace> keeps) {

  public PlateRun(BenchAt at, Range range, Direction direction) {
    this(at, range, direction, Optional.empty());
  }

  /** The same, with the raw readings of each plate kept. */
  PlateRun keeping(UpkeepPlace place) {
    return new PlateRun(at, range, direction, Optional.of(place));
  }

  /**
   * What was read.
   *
   * @param all in the order taken
   * @param missed how many could not be taken
   */
  record Taken<L>(List<L> all, int missed) {}

  /** More patience, once the usual one did not do (our own choice). */
  private static final double LONGER = 3;

  /**
   * A plate in the head's place.
   *
   * @param order of the mounting in this run, from 0
   * @param visit how often this plate was mounted in it, this time counted
   */
  record Mounted(int order, int visit, Plate plate, Bevel bevel) {}

  /** What is done with a plate at one test pressure. */
  interface Reading<L> {

    /**
     * @throws Refusal when it cannot be done: why, and what to look at
     */
    L read(BenchStation stand, Mounted mounted, double testPressurePa, double patience)
        throws InterruptedException;
  }

  /**
   * @param testPressuresPa of each plate [Pa]
   * @throws Refusal when a plate stands the wrong way round
   */
  public List<PlateReading> read(
      List<Plate> plates, List<Double> testPressuresPa, BenchOperator operator)
      throws InterruptedException {
    return read(plates, testPressuresPa, operator, Optional.empty()).all();
  }

  /**
   * The same.
   *
   * @param soFar keeps each reading on the disk, and has those that an interrupted run has left
   *     there
   */
  Taken<PlateReading> read(
      List<Plate> plates,
      List<Double> testPressuresPa,
      BenchOperator operator,
      Optional<ReadingsSoFar<ReadingLine>> soFar)
      throws InterruptedException {
    Taken<ReadingLine> taken =
        each(
            plates,
            testPressuresPa,
            operator,
            soFar,
            (stand, mounted, pressure, patience) ->
                new ReadingLine(
                    pressure,
                    mounted.visit(),
                    new PlateReading(
                        mounted.plate().name(), mounted.bevel(), stand.at(pressure, patience))),
            line -> new UpkeepMessage.PlateRead(at, line.reading()),
            line ->
                operator.point(
                    CalibrationFit.point(
                        at.bench(),
                        range,
                        direction,
                        UpkeepPlace.leakage(at.bench(), direction),
                        named(plates, line.plate()),
                        line.reading())));
    return new Taken<>(taken.all().stream().map(ReadingLine::reading).toList(), taken.missed());
  }

  /**
   * Each plate at every test pressure, but for what an interrupted run has left.
   *
   * @param plates in the order of mounting; one may come twice
   * @param soFar keeps each reading at once; empty to keep none
   * @param words what the operator is told of a reading, once it is kept
   * @param accepted is given each reading that counts, those of the interrupted run too
   */
  <L extends KeptLine> Taken<L> each(
      List<Plate> plates,
      List<Double> testPressuresPa,
      BenchOperator operator,
      Optional<ReadingsSoFar<L>> soFar,
      Reading<L> reading,
      Function<L, UpkeepMessage> words,
      Consumer<L> accepted)
      throws InterruptedException {
    List<L> readings = new ArrayList<>();
    int missed = 0;
    for (int i = 0; i < plates.size(); i++) {
      Plate plate = plates.get(i);
      int visit = Math.toIntExact(plates.subList(0, i + 1).stream().filter(plate::equals).count());
      List<Double> open = new ArrayList<>();
      int shown = readings.size();
      for (double pressure : testPressuresPa) {
        soFar
            .flatMap(kept -> kept.of(plate, visit, pressure))
            .ifPresentOrElse(readings::add, () -> open.add(pressure));
      }
      readings.subList(shown, readings.size()).forEach(accepted);
      if (open.isEmpty()) {
        continue;
      }
      if (visit > 1) {
        operator.told(new UpkeepMessage.OnceMore(plate));
      }
      Optional<Bevel> bevel = mounted(plate, operator);
      if (bevel.isPresent()) {
        Mounted mounted = new Mounted(i, visit, plate, bevel.get());
        try (BenchStation stand = open(mounted, testPressuresPa, operator)) {
          for (double pressure : open) {
            operator.step(
                new BenchOperator.Step(
                    "plate " + plate.name() + (visit > 1 ? " again" : ""),
                    i + 1,
                    plates.size(),
                    testPressuresPa.indexOf(pressure) + 1,
                    testPressuresPa.size()));
            stand.wanted(pressure).ifPresent(operator::told);
            Optional<L> read =
                insisted(
                    operator, plate, patience -> reading.read(stand, mounted, pressure, patience));
            if (read.isPresent()) {
              soFar.ifPresent(kept -> kept.add(read.get(), operator));
              operator.told(words.apply(read.get()));
              readings.add(read.get());
              accepted.accept(read.get());
            } else {
              missed++;
            }
          }
        }
      }
    }
    return new Taken<>(soFar.map(kept -> kept.inOrderTaken(readings)).orElse(readings), missed);
  }

  private static Plate named(List<Plate> plates, String name) {
    return plates.stream().filter(plate -> plate.name().equals(name)).findFirst().orElseThrow();
  }

  /** One try at a reading. */
  private interface Try<L> {
    L with(double patience) throws InterruptedException;
  }

  /** Again, and longer, until it is read or the operator leaves it out. */
  private static <L> Optional<L> insisted(BenchOperator operator, Plate plate, Try<L> reading)
      throws InterruptedException {
    double patience = 1;
    while (true) {
      try {
        return Optional.of(reading.with(patience));
      } catch (LeftOut e) {
        operator.told(new UpkeepMessage.GivenUp(plate, e.getMessage()));
        return Optional.empty();
      } catch (Refusal e) {
        switch (operator.missed("plate " + plate.name(), e.getMessage())) {
          case AGAIN -> patience = 1;
          case LONGER -> patience *= LONGER;
          default -> {
            return Optional.empty();
          }
        }
      }
    }
  }

  /** Asks for a plate; refuses it the wrong way round before time is spent on it. */
  private Optional<Bevel> mounted(Plate plate, BenchOperator operator) throws InterruptedException {
    Optional<Bevel> bevel = operator.mounted(plate, direction);
    if (bevel.filter(Bevel.UPSTREAM::equals).isPresent()) {
      PlateReading.refuseUpstream(plate.name());
    }
    return bevel;
  }

  /** No two plates of a run have the simulated bench's same minutes. */
  private BenchStation open(Mounted mounted, List<Double> testPressuresPa, BenchOperator operator)
      throws InterruptedException {
    Feeds.Simulation given = at.simulation();
    BenchAt reached =
        at.simulated()
            ? at.with(
                new Feeds.Simulation(
                    given.quick(),
                    given.seed() * 1000 + mounted.order(),
                    SimulatedPlates.like(mounted.plate())))
            : at;
    return BenchStation.open(
        reached,
        range,
        direction,
        operator,
        heard -> keeps.flatMap(place -> kept(place, mounted, testPressuresPa, heard, operator)));
  }

  private Optional<PlateRecording> kept(
      UpkeepPlace place,
      Mounted mounted,
      List<Double> testPressuresPa,
      Feed heard,
      BenchOperator operator) {
    return PlateRecording.begin(
        place.plateReadings(),
        place.benchFile(),
        new PlateMounted(
            mounted.plate().name(),
            mounted.plate().papers(),
            mounted.bevel(),
            new PlateMounted.Asked(
                direction,
                range.name(),
                testPressuresPa,
                at.pace().target(),
                at.pace().longestSeconds() + 1),
            at.bench().units()),
        heard,
        place.now(),
        why -> operator.told(new UpkeepMessage.RawNotKept(mounted.plate(), why)));
  }
}
