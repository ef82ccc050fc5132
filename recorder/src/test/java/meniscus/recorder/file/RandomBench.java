package meniscus.recorder.file;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.Set;
import java.util.UUID;
import java.util.function.Supplier;
import java.util.stream.IntStream;
import meniscus.core.air.AirState;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Bench;
import meniscus.core.bench.CalibrationRef;
import meniscus.core.bench.CalmRef;
import meniscus.core.bench.ChartedElement;
import meniscus.core.bench.ElementPlace;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.FittedElement;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.HealthEntry;
import meniscus.core.bench.Identity;
import meniscus.core.bench.Instrument;
import meniscus.core.bench.Leakage;
import meniscus.core.bench.LinearElement;
import meniscus.core.bench.NozzleElement;
import meniscus.core.bench.OrificeElement;
import meniscus.core.bench.OutletEntry;
import meniscus.core.bench.Plenum;
import meniscus.core.bench.Range;
import meniscus.core.bench.Repeatability;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.StatedCoefficient;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Use;
import meniscus.core.bench.Zero;
import meniscus.core.flow.Direction;
import meniscus.core.flow.Expansibility;
import meniscus.core.flow.Tapping;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.settle.GaugeTransfer;

/** Benches out of a seed: some numbers as a person types them, some to the last digit. */
final class RandomBench {

  private final Random random;
  private final UnitSystem units;

  RandomBench(long seed) {
    random = new Random(seed);
    units = pick(UnitSystem.values());
  }

  Bench bench() {
    Map<Use, Source> channels = new EnumMap<>(Use.class);
    channels.put(Use.TEST_PRESSURE, gauge("p", Use.TEST_PRESSURE.dimension(), 10_000));
    channels.put(Use.ROOM_TEMPERATURE, source("t", Dimension.TEMPERATURE, 300));
    channels.put(Use.ROOM_PRESSURE, source("b", Dimension.PRESSURE, 1e5));
    maybe(() -> source("h", Dimension.RATIO, 0.5))
        .ifPresent(s -> channels.put(Use.ROOM_HUMIDITY, s));
    maybe(() -> source("e", Dimension.TEMPERATURE, 300))
        .ifPresent(s -> channels.put(Use.ELEMENT_TEMPERATURE, s));
    maybe(() -> source("i", Dimension.TEMPERATURE, 300))
        .ifPresent(s -> channels.put(Use.PLENUM_TEMPERATURE, s));
    maybe(() -> gauge("l", Dimension.LENGTH, 0.02)).ifPresent(s -> channels.put(Use.LIFT, s));
    List<Range> ranges =
        IntStream.rangeClosed(1, 1 + random.nextInt(3))
            .mapToObj(i -> new Range("plate " + i, element(2), gauge("d", Dimension.PRESSURE, 5e3)))
            .toList();
    return new Bench(
        new Identity(
            "Bench " + random.nextInt(),
            random.nextBoolean()
                ? Optional.empty()
                : Optional.of(new UUID(random.nextLong(), random.nextLong())),
            random.nextBoolean() ? Set.of() : Set.of("0f3a", "77c1"),
            random.nextBoolean() ? "" : "notes \"with\" marks \u00b5 and\nlines"),
        units,
        new Site(
            OptionalDouble.of(number(Dimension.LENGTH, 500)),
            pick(Site.Barometer.values()),
            pick(50.0, 60.0, 50.01)),
        pick(ElementPlace.values()),
        maybe(() -> new Plenum(number(Dimension.VOLUME, 0.3), number(Dimension.VOLUME, 0.02))),
        List.of(
            new Instrument("a", "two-channel-manometer", Map.of()),
            new Instrument(
                "second-1", "sheets/own.json", Map.of("kind", "tcp", "port", 4001, "fast", true))),
        channels,
        ranges,
        upkeep(),
        random.nextBoolean()
            ? List.of()
            : List.of(
                new OutletEntry(
                    "shop", "mqtt", Map.of("address", "mqtts://north", "port", 4, "on", true))));
  }

  private Upkeep upkeep() {
    if (random.nextInt(4) == 0) {
      return Upkeep.none(Epoch.FIRST);
    }
    Upkeep upkeep =
        Upkeep.none(
                new Epoch(1 + random.nextInt(9), LocalDate.of(2026, 3, 14), pick("new", "moved")))
            .withZero("a.p", new Zero(random.nextGaussian(), random.nextDouble(), 0, at()))
            .withZero("a.d", new Zero(0, number(Dimension.PRESSURE, 1), random.nextDouble(), at()))
            .withLeakage(leakage(0))
            .withLeakage(leakage(1e-5 * random.nextDouble()))
            .withCalibration(new CalibrationRef(pick(Direction.values()), "plate 1", hash(), at()))
            .withCalibration(
                new CalibrationRef(
                    pick(Direction.values()),
                    "plate 1",
                    hash(),
                    at(),
                    new CalibrationRef.Standing(random.nextBoolean(), "chi squared 90 of 9")))
            .withHealth(health())
            .withHealth(health());
    if (random.nextBoolean()) {
      upkeep =
          upkeep
              .withCalm(new CalmRef("calm", hash(), at()))
              .withRepeatability(
                  new Repeatability(
                      List.of(
                          new Repeatability.Node(
                              number(Dimension.LENGTH, 0.001), random.nextDouble()),
                          new Repeatability.Node(number(Dimension.LENGTH, 0.01), 0.004)),
                      random.nextDouble(),
                      5,
                      List.of(
                          new Repeatability.Series(
                              "head no. 3",
                              List.of("before-1", "before-2"),
                              at(),
                              1 + random.nextInt(3),
                              List.of(
                                  new Repeatability.Node(
                                      number(Dimension.LENGTH, 0.001), random.nextDouble())),
                              random.nextDouble(),
                              1 + random.nextDouble()))));
    }
    return upkeep;
  }

  private Leakage leakage(double coefficient) {
    return new Leakage(
        pick(Direction.values()),
        pick("bench blanked", "head no. 3"),
        coefficient,
        pick(0.5, 1.0, 0.5 + random.nextDouble() / 2),
        number(Dimension.RATIO, 0.1),
        1e-5 * random.nextDouble(),
        at());
  }

  private HealthEntry health() {
    return new HealthEntry(
        at(),
        1 + random.nextInt(3),
        pick(HealthEntry.Kind.values()),
        "plate 25 mm",
        maybe(() -> pick(Direction.values())),
        maybe(() -> "plate 1"),
        random.nextGaussian(),
        pick(0.0, 1.0),
        random.nextInt(2) * random.nextDouble(),
        random.nextBoolean() ? OptionalDouble.empty() : OptionalDouble.of(random.nextDouble()),
        pick("", "after the new hose"));
  }

  private FlowElement element(int depth) {
    double uncertainty = number(Dimension.RATIO, 0.005);
    return switch (random.nextInt(depth > 0 ? 5 : 4)) {
      case 0 ->
          new OrificeElement(
              number(Dimension.LENGTH, 0.04),
              random.nextInt(2) * number(Dimension.LENGTH, 1e-5),
              maybe(() -> new OrificeElement.Pipe(0.2, pick(Tapping.values()))),
              pick(Expansibility.values()),
              maybe(() -> new StatedCoefficient(0.6, uncertainty)));
      case 1 ->
          new NozzleElement(
              number(Dimension.LENGTH, 0.06),
              new StatedCoefficient(0.9 + random.nextDouble() / 10, uncertainty));
      case 2 ->
          new LinearElement(
              number(Dimension.VOLUME_FLOW, 0.1),
              number(Dimension.PRESSURE, 1000),
              air(),
              uncertainty);
      case 3 -> charted(uncertainty);
      default ->
          new FittedElement(
              element(0),
              List.of(1.0, random.nextGaussian() / 100),
              List.of(List.of(1e-6, random.nextGaussian() * 1e-8), List.of(0.0, 2e-7)),
              1000,
              number(Dimension.PRESSURE, 100),
              number(Dimension.PRESSURE, 4000));
    };
  }

  private ChartedElement charted(double uncertainty) {
    List<ChartedElement.Node> nodes = new ArrayList<>();
    for (int i = 1; i <= 1 + random.nextInt(5); i++) {
      nodes.add(
          new ChartedElement.Node(
              i * 1000 + number(Dimension.PRESSURE, 500),
              i * 0.1 + number(Dimension.VOLUME_FLOW, 0.05)));
    }
    return new ChartedElement(nodes, air(), uncertainty);
  }

  private AirState air() {
    return new AirState(
        288 + number(Dimension.VOLUME_FLOW, 5),
        number(Dimension.PRESSURE, 1e5),
        pick(0.0, 0.5, random.nextDouble()));
  }

  private Source source(String channel, Dimension dimension, double about) {
    return random.nextBoolean()
        ? gauge(channel, dimension, about)
        : new Source.Typed(number(dimension, about), step(dimension, about / 100));
  }

  private Source.Measured gauge(String channel, Dimension dimension, double about) {
    return new Source.Measured(
        "a",
        channel,
        pick(0.0, -number(dimension, about / 10)),
        number(dimension, about),
        random.nextInt(5) == 0
            ? new Accuracy(0, 0, 0)
            : new Accuracy(
                step(Dimension.RATIO, 0.0025),
                step(dimension, about / 1000),
                step(dimension, about / 5000)),
        new GaugeTransfer(step(Dimension.TIME, 1), step(Dimension.TIME, 0.05)),
        random.nextBoolean());
  }

  /** From half to the whole of {@code about} [SI]; as typed in the owner's units, or any double. */
  private double number(Dimension dimension, double about) {
    double any = about * (0.5 + random.nextDouble() / 2);
    return random.nextBoolean() ? any : typed(any, dimension, true);
  }

  private double step(Dimension dimension, double about) {
    double any = about * random.nextDouble();
    return random.nextBoolean() ? any : typed(any, dimension, false);
  }

  private double typed(double si, Dimension dimension, boolean offset) {
    var unit = units.unit(dimension);
    String text = String.format(Locale.ROOT, "%.3g", offset ? unit.fromSi(si) : si / unit.factor());
    double number = Double.parseDouble(text);
    return offset ? unit.toSi(number) : number * unit.factor();
  }

  private Instant at() {
    return Instant.ofEpochSecond(
        1_770_000_000L + random.nextInt(10_000_000), random.nextInt(2) * 123_456_789);
  }

  private String hash() {
    StringBuilder hash = new StringBuilder();
    for (int i = 0; i < 64; i++) {
      hash.append(Character.forDigit(random.nextInt(16), 16));
    }
    return hash.toString();
  }

  @SafeVarargs
  private <T> T pick(T... values) {
    return values[random.nextInt(values.length)];
  }

  private <T> Optional<T> maybe(Supplier<T> make) {
    return random.nextBoolean() ? Optional.of(make.get()) : Optional.empty();
  }
}
