package meniscus.recorder.upkeep;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import meniscus.core.bench.Bench;
import meniscus.core.bench.CalmRef;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.PointMeans;
import meniscus.core.bench.Range;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.Plate;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Beside;
import meniscus.core.pipeline.RungWindow;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Worded;
import meniscus.core.refusal.Refusal;
import meniscus.core.steadiness.Band;
import meniscus.core.steadiness.BandLevels;
import meniscus.core.steadiness.CalmRecord;
import meniscus.core.steadiness.CalmRun;
import meniscus.core.time.Moment;
import meniscus.recorder.disk.Renaming;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.feed.Measuring;
import meniscus.recorder.file.CalmLine;
import meniscus.recorder.signal.CalmFolder;

/**
 * Takes the calm record: the bench's own fluctuation on plates, where nothing can separate, each at
 * one flow, range, direction and test pressure.
 *
 * @param runs that were taken
 * @param missed how many could not be
 */
public record CalmTake(List<CalmRun> runs, int missed) {

  private static final String FOLDER = "calm";
  private static final DateTimeFormatter STAMP =
      DateTimeFormatter.ofPattern("yyyyMMdd'T'HHmmss'Z'", Locale.ROOT).withZone(ZoneOffset.UTC);

  /**
   * No plate's flow moves by more than this share: our own choice, ten times a rough bench's 3 %.
   */
  private static final double WILDEST = 0.3;

  /** Two test pressures this near are the same one [1]. */
  private static final double SAME_PRESSURE = 0.1;

  /** How often the operator hears that it goes on [s]. */
  private static final double NEWS_SECONDS = 15;

  public CalmTake {
    runs = List.copyOf(runs);
  }

  /**
   * Records each plate.
   *
   * @param seconds of each run [s]
   * @param soFar keeps each run at once, and has what an interrupted record left; empty to keep
   *     none
   */
  public static CalmTake of(
      PlateRun run,
      List<Plate> plates,
      List<Double> testPressuresPa,
      double seconds,
      BenchOperator operator,
      Optional<ReadingsSoFar<CalmLine>> soFar)
      throws InterruptedException {
    PlateRun.Taken<CalmLine> taken =
        run.each(
            plates,
            testPressuresPa,
            operator,
            soFar,
            (stand, mounted, pressure, patience) -> {
              Series series = new Series(mounted.plate(), patience * seconds, operator);
              CalmRun own =
                  series.run(
                      stand,
                      mounted.order() + 1,
                      stand.watched(pressure, patience * seconds, series));
              refuseUseless(mounted.plate(), own);
              return new CalmLine(mounted.plate().name(), pressure, seconds, own);
            },
            line ->
                new UpkeepMessage.CalmRecorded(
                    line.plate(),
                    run.at().text(line.run().testPressurePa()),
                    relativeDeviation(line.run())),
            line -> {});
    return new CalmTake(taken.all().stream().map(CalmLine::run).toList(), taken.missed());
  }

  /**
   * Refuses a run that no plate can give, which would pass any air for calm, and one from which
   * nothing can be learned, which would leave every lift without a record to be held against.
   *
   * @throws Refusal with what to look at, or the length that will do
   */
  static void refuseUseless(Plate plate, CalmRun taken) {
    double deviation = relativeDeviation(taken);
    if (!(deviation >= 0 && deviation <= WILDEST)) {
      String what =
          deviation > WILDEST
              ? Text.of("moves by %.0f %% (one standard deviation)", 100 * deviation)
              : "is nothing, or comes the other way";
      throw new Refusal(
          Text.of(
              "the flow through plate %s %s, which no plate gives; it is not stored. See that both"
                  + " pressures read sensibly with nothing disturbed: hoses on and dry, gauges within"
                  + " their range, nothing flapping, the blower running evenly; then record it again",
              plate.name(), what));
    }
    double needed = CalmRecord.shortestSeconds(taken);
    if (!(taken.lengthSeconds() >= needed)) {
      throw new Refusal(
          Text.of(
              "the run on plate %s holds %d readings in %.0f s, too few to tell the rhythm of the"
                  + " fluctuation; it is not stored. These gauges need runs of %s: record it again,"
                  + " longer, or give --seconds",
              plate.name(),
              taken.values().length,
              taken.lengthSeconds(),
              Double.isNaN(needed) ? "minutes" : Text.of("%.0f s", roomy(needed))));
    }
  }

  /**
   * How long runs should be for the rhythm of a slow gauge to be told well; empty when they are.
   */
  OptionalDouble properSeconds() {
    double most = 0;
    for (CalmRun run : runs) {
      double proper = CalmRecord.properSeconds(run);
      most = run.lengthSeconds() < proper ? Math.max(most, proper) : most;
    }
    return most > 0 ? OptionalDouble.of(roomy(most)) : OptionalDouble.empty();
  }

  /** With room for a lost reading or two: the next whole ten and more [s]. */
  private static double roomy(double seconds) {
    return 10 * Math.ceil(1.05 * seconds / 10);
  }

  /** Why nobody can see how the flow of a range fluctuates, and what to do; empty when one can. */
  static Optional<String> refusalByEye(BenchAt at, Range range) {
    List<ByEye> byEye = at.pressuresByEye(range);
    return byEye.isEmpty()
        ? Optional.empty()
        : Optional.of(
            "there is no calm record of range \""
                + range.name()
                + "\": it is how the flow fluctuates, many readings a second, and "
                + byEye.stream()
                    .map(each -> each.gauge().key())
                    .collect(Collectors.joining(" and "))
                + " read by eye show"
                + (byEye.size() == 1 ? "s" : "")
                + " nothing of that. Nothing is missing: a point read by eye is never judged against"
                + " one. Take it on a range whose drop and test pressure come from gauges that send by"
                + " themselves, if the bench has one");
  }

  /**
   * Writes the runs into the folder {@code calm} beside the bench file. Earlier runs of this epoch
   * at another range, direction or test pressure stay; the folder as it was is put aside under
   * another name.
   *
   * @return the bench that refers to the record
   * @throws IOException when it cannot be written; the earlier record is then as it was
   */
  public Bench store(Bench bench, Path benchFile, Instant at) throws IOException {
    if (runs.isEmpty()) {
      throw new Refusal("no plate could be recorded; the bench is as it was");
    }
    Path beside = benchFile.toAbsolutePath().getParent();
    List<CalmRun> all = new ArrayList<>();
    for (CalmRun earlier : earlier(bench, beside)) {
      if (runs.stream().noneMatch(taken -> alike(taken, earlier))) {
        all.add(earlier);
      }
    }
    all.addAll(runs);
    Path fresh = Files.createTempDirectory(beside, "." + FOLDER);
    new CalmFolder(fresh).write(all);
    String sha256 = new CalmFolder(fresh).indexSha256();
    Path folder = beside.resolve(FOLDER);
    if (Files.exists(folder)) {
      Renaming.move(folder, aside(beside, at));
    }
    Renaming.move(fresh, folder);
    return bench.with(
        upkeep -> upkeep.withCalm(new CalmRef(FOLDER, sha256, at)).withHealth(entry(bench, at)));
  }

  private static Path aside(Path beside, Instant at) {
    Path name = beside.resolve(FOLDER + "-until-" + STAMP.format(at));
    for (int more = 2; Files.exists(name); more++) {
      name = beside.resolve(FOLDER + "-until-" + STAMP.format(at) + "-" + more);
    }
    return name;
  }

  /** Runs that may still be used: those of this epoch. */
  private static List<CalmRun> earlier(Bench bench, Path beside) throws IOException {
    int epoch = bench.upkeep().epoch().number();
    boolean ofThisEpoch =
        epoch == 1
            || bench.upkeep().health().stream()
                .anyMatch(
                    entry ->
                        entry.kind() == HealthEntry.Kind.CALM_RECORD && entry.epoch() == epoch);
    Optional<Path> folder = bench.upkeep().calm().map(calm -> beside.resolve(calm.folder()));
    if (!ofThisEpoch || folder.filter(Files::isDirectory).isEmpty()) {
      return List.of();
    }
    return new CalmFolder(folder.get()).read("time_s", "value").runs();
  }

  private static boolean alike(CalmRun one, CalmRun other) {
    return one.range().equals(other.range())
        && one.direction().equals(other.direction())
        && Math.abs(one.testPressurePa() / other.testPressurePa() - 1) < SAME_PRESSURE;
  }

  /** One line of the health log: the fluctuation of the runs together. */
  private HealthEntry entry(Bench bench, Instant at) {
    double square =
        runs.stream().mapToDouble(run -> Math.pow(relativeDeviation(run), 2)).average().orElse(0);
    return new HealthEntry(
        at,
        bench.upkeep().epoch().number(),
        HealthEntry.Kind.CALM_RECORD,
        "flow on plates",
        direction(),
        Optional.of(runs.get(0).range()),
        Math.sqrt(square),
        0,
        0,
        OptionalDouble.empty(),
        "");
  }

  private Optional<Direction> direction() {
    return Worded.named(Direction.values(), runs.get(0).direction());
  }

  /** Standard deviation of the samples over their mean [1]. */
  public static double relativeDeviation(CalmRun run) {
    double sum = 0;
    double squares = 0;
    int n = 0;
    for (double value : run.values()) {
      if (Double.isFinite(value)) {
        n++;
        double before = value - sum;
        sum += before / n;
        squares += before * (value - sum);
      }
    }
    return n < 2 ? 0 : Math.sqrt(squares / (n - 1)) / sum;
  }

  /** Flow samples of one window. */
  private static final class Series implements RungWindow.SampleSink {
    private final Plate plate;
    private final double asked;
    private final BenchOperator operator;
    private final List<double[]> samples = new ArrayList<>();
    private double told;

    Series(Plate plate, double asked, BenchOperator operator) {
      this.plate = plate;
      this.asked = asked;
      this.operator = operator;
    }

    @Override
    public void anew(Moment began) {
      samples.clear();
      told = 0;
    }

    @Override
    public void sample(double seconds, double areaM2) {
      samples.add(new double[] {seconds, areaM2});
      double gone = seconds - samples.get(0)[0];
      if (gone - told >= NEWS_SECONDS) {
        told = gone;
        operator.told(new UpkeepMessage.CalmUnderWay(plate, gone, asked));
      }
    }

    CalmRun run(BenchStation stand, int order, Measuring.Averaged averaged) {
      PointMeans means = averaged.means();
      double start = samples.get(0)[0];
      String range = stand.range().name();
      String way = stand.direction().word();
      return new CalmRun(
          name(range, way, Text.of("%.0f Pa", means.testPressurePa()), "" + order, plate.name()),
          means.effectiveAreaM2(),
          new CalmRun.Where(range, way, means.testPressurePa()),
          stand.bench().fastUse().equals(Optional.of(Use.FLUCTUATION_ON_BENCH))
              ? loud(averaged.beside())
              : Map.of(),
          samples.stream().mapToDouble(sample -> sample[0] - start).toArray(),
          samples.stream().mapToDouble(sample -> sample[1]).toArray());
    }

    private static Map<Band, BandLevels.Level> loud(List<Beside> beside) {
      Map<Band, BandLevels.Level> loud = new EnumMap<>(Band.class);
      for (Beside each : beside) {
        if (each.u95().isPresent()) {
          Band.named(each.name())
              .ifPresent(
                  band ->
                      loud.put(
                          band, new BandLevels.Level(each.value(), each.standardUncertainty())));
        }
      }
      return loud;
    }

    /** A file's name out of words that people chose. */
    private static String name(String... words) {
      return String.join("-", words).strip().replaceAll("[^A-Za-z0-9-]+", "_");
    }
  }
}
