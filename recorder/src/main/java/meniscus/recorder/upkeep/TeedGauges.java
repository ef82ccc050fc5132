package meniscus.recorder.upkeep;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import meniscus.core.bench.Bench;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Range;
import meniscus.core.bench.Source;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.GaugeComparison;
import meniscus.core.calibrate.GaugeComparison.Pair;
import meniscus.core.flow.Direction;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.simulated.Mounted;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.feed.RawReadings.Readings;

/**
 * The gauge of the test pressure and that of a range's drop on one hose, read together.
 *
 * @param range whose drop gauge it is
 * @param test the gauge of the test pressure
 * @param pressuresPa that are held, rising [Pa]
 */
public record TeedGauges(BenchAt at, Range range, Source.Measured test, List<Double> pressuresPa) {

  /** Shares of what both gauges reach: three is the fewest that shows a bend (our own choice). */
  private static final double[] SHARES = {0.2, 0.5, 0.8};

  private static final double SETTLE_SECONDS = 2;
  private static final double READ_SECONDS = 8;

  /** A person with a syringe brings it about there (our own choice) [1]. */
  private static final double ABOUT = 0.3;

  /** A hose that leaks, a hand that still presses: more is not standing still (our own choice). */
  private static final double STILL = 0.02;

  /**
   * At pressures over all that both gauges reach.
   *
   * @return empty where the test pressure is typed in, or read by the very gauge of the drop
   */
  public static Optional<TeedGauges> of(BenchAt at, Range range) {
    return at.bench()
        .source(Use.TEST_PRESSURE)
        .flatMap(
            source -> source.<Optional<Source.Measured>>fold(Optional::of, t -> Optional.empty()))
        .filter(test -> !test.key().equals(range.drop().key()))
        .map(test -> new TeedGauges(at, range, test, usual(test, range.drop())));
  }

  TeedGauges at(List<Double> otherPa) {
    return new TeedGauges(at, range, test, otherPa);
  }

  private static List<Double> usual(Source.Measured one, Source.Measured other) {
    double reach =
        Math.min(Math.max(one.highSi(), -one.lowSi()), Math.max(other.highSi(), -other.lowSi()));
    return Arrays.stream(SHARES).mapToObj(share -> share * reach).toList();
  }

  /**
   * Reads both at each pressure.
   *
   * @return one pair a pressure, but for those that the operator left out
   */
  public List<Pair> read(BenchOperator operator) throws InterruptedException {
    List<Pair> pairs = new ArrayList<>();
    for (int i = 0; i < pressuresPa.size(); i++) {
      operator.step(
          new BenchOperator.Step("both gauges on one pressure", 1, 1, i + 1, pressuresPa.size()));
      asked(i, operator).ifPresent(pairs::add);
    }
    return pairs;
  }

  /** For the health log. */
  public HealthEntry entry(GaugeComparison found, Instant now) {
    Bench bench = at.bench();
    return new HealthEntry(
        now,
        bench.upkeep().epoch().number(),
        HealthEntry.Kind.GAUGES,
        test.key() + " against " + range.drop().key(),
        Optional.empty(),
        Optional.of(range.name()),
        1 + found.gain(),
        1,
        found.standardUncertainty(),
        OptionalDouble.of(found.limit()),
        found.bend() > 1 ? "not on one line" : "");
  }

  /** Both gauges at one pressure; empty when the operator leaves it out. */
  private Optional<Pair> asked(int number, BenchOperator operator) throws InterruptedException {
    String about = at.text(pressuresPa.get(number));
    operator.ready(
        (number == 0
                ? "Blower off. Put both gauges, "
                    + test.key()
                    + " and "
                    + range.drop().key()
                    + ", on one hose with a tee and a syringe; blow into none, breath overloads"
                    + " them. "
                : "")
            + "Bring both to about "
            + about
            + " and let it stand still.");
    while (true) {
      try (BenchStation station = open(number, operator)) {
        Map<String, Readings> read = station.resting(SETTLE_SECONDS, READ_SECONDS);
        Pair pair = pair(read, number);
        operator.told(
            new UpkeepMessage.OnOnePressure(at.text(pair.firstSi()), at.text(pair.secondSi())));
        return Optional.of(pair);
      } catch (Refusal e) {
        if (operator.missed("both gauges at " + about, e.getMessage())
            == BenchOperator.Then.LEAVE_OUT) {
          return Optional.empty();
        }
      }
    }
  }

  /** No two pressures have the simulated bench's same minutes. */
  private BenchStation open(int number, BenchOperator operator) throws InterruptedException {
    Feeds.Simulation given = at.simulation();
    BenchAt teed =
        at.with(
            new Feeds.Simulation(
                given.quick(),
                given.seed() * 1000 + number,
                new Mounted.Tee(pressuresPa.get(number))));
    return BenchStation.open(teed, range, Direction.SUCTION, operator);
  }

  private Pair pair(Map<String, Readings> read, int number) {
    double[] first = zeroed(test, read, number);
    double[] second = zeroed(range.drop(), read, number);
    return new Pair(
        mean(first), uncertainty(first, test), mean(second), uncertainty(second, range.drop()));
  }

  /**
   * What one gauge showed, its zero subtracted.
   *
   * @throws Refusal when it was not on the pressure, or did not stand still
   */
  private double[] zeroed(Source.Measured gauge, Map<String, Readings> read, int number) {
    double offset = at.bench().zero(gauge).offsetSi();
    double[] shown =
        Arrays.stream(read.getOrDefault(gauge.key(), Readings.NONE).valuesSi())
            .filter(Double::isFinite)
            .map(value -> Math.abs(value - offset))
            .toArray();
    if (shown.length < GaugeComparison.FEWEST) {
      throw new Refusal(gauge.key() + " sent nothing that could be read");
    }
    double mean = mean(shown);
    if (Math.abs(mean / pressuresPa.get(number) - 1) > ABOUT) {
      throw new Refusal(
          gauge.key()
              + " shows "
              + at.text(mean)
              + " where about "
              + at.text(pressuresPa.get(number))
              + " is asked for: see that both hoses are on the tee");
    }
    int half = shown.length / 2;
    double moved =
        mean(Arrays.copyOfRange(shown, half, shown.length)) - mean(Arrays.copyOf(shown, half));
    if (Math.abs(moved) > STILL * mean) {
      throw new Refusal(
          gauge.key() + " moved by " + at.text(2 * Math.abs(moved)) + " while it was read");
    }
    return shown;
  }

  private static double mean(double[] values) {
    return Arrays.stream(values).average().orElseThrow();
  }

  /** Scatter and smallest step; one reading a second counts as independent (our own choice). */
  private static double uncertainty(double[] shown, Source.Measured gauge) {
    double mean = mean(shown);
    double squares = Arrays.stream(shown).map(value -> (value - mean) * (value - mean)).sum();
    double deviation = Math.sqrt(squares / (shown.length - 1));
    double step = gauge.accuracy().quantumSi() / Math.sqrt(12);
    double least = 1e-6 * mean;
    return Math.max(least, Math.hypot(deviation / Math.sqrt(READ_SECONDS), step));
  }
}
