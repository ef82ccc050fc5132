package meniscus.recorder.look;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import meniscus.core.bench.Accuracy;
import meniscus.core.bench.Bench;
import meniscus.core.bench.ElementPlace;
import meniscus.core.bench.Epoch;
import meniscus.core.bench.Identity;
import meniscus.core.bench.Instrument;
import meniscus.core.bench.OrificeElement;
import meniscus.core.bench.Range;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.StatedCoefficient;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Use;
import meniscus.core.flow.Expansibility;
import meniscus.core.instrument.Channel;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.line.FoundLine;

/**
 * A bench file to start from: the instruments that were recognised, each channel used as its name
 * says, columns read by eye for pressures that none of them brings, and everything that cannot be
 * known so wide that no flow worked out from it looks good.
 */
public final class StartingBench {

  static final String NOTES =
      "Written by look, to start from. The instruments were recognised; all else is a guess, and"
          + " so wide that no flow looks good before you have put in what stands on your bench:"
          + " name, units, site, layout, plenum, the gauges' low, high and accuracy, what is typed,"
          + " and the flow element. docs/bench-file.md says how.";

  /** The shipped sheet of what a person reads. */
  private static final String BY_EYE = "two-columns-and-dial";

  /** Half an inch of water: no scale is divided more coarsely (our own choice). */
  private static final double COARSEST_QUANTUM_PA = 125;

  /** Wide guesses: lowest and highest value, and half-width of the error [SI]. */
  private record Guess(double low, double high, double halfWidth) {}

  private static final Map<Use, Guess> GUESSES =
      Map.of(
          Use.TEST_PRESSURE, new Guess(-25_000, 25_000, 250),
          Use.ELEMENT_DROP, new Guess(-25_000, 25_000, 250),
          Use.LIFT, new Guess(-0.05, 0.05, 0.001),
          Use.ROOM_TEMPERATURE, new Guess(250, 330, 5),
          Use.ROOM_PRESSURE, new Guess(60_000, 115_000, 3_000),
          Use.ROOM_HUMIDITY, new Guess(0, 1, 0.2),
          Use.PLENUM_TEMPERATURE, new Guess(250, 370, 5),
          Use.ELEMENT_TEMPERATURE, new Guess(250, 370, 5));

  /** Names that a channel may have for a use, besides the use's own. */
  private static final Map<Use, String> OTHER_NAMES =
      Map.of(
          Use.ROOM_TEMPERATURE, "temperature",
          Use.ROOM_PRESSURE, "pressure",
          Use.ROOM_HUMIDITY, "humidity",
          Use.ELEMENT_DROP, "drop",
          Use.TEST_PRESSURE, "depression");

  /**
   * An instrument that was recognised.
   *
   * @param sheet as the bench file is to name it
   * @param found what is known of its port, when it is a port that was found
   */
  public record Recognised(
      LinePlace place, KnownSheet known, String sheet, Optional<FoundLine> found) {}

  private final List<Instrument> instruments = new ArrayList<>();
  private final Map<Use, Source> channels = new EnumMap<>(Use.class);

  private StartingBench() {}

  /**
   * @throws Refusal when no instrument was recognised
   */
  public static Bench of(List<Recognised> recognised) {
    StartingBench start = new StartingBench();
    recognised.forEach(start::add);
    return start.bench();
  }

  /** The pressures of a bench written here that a person is to read. */
  public static List<Use> byEye(Bench bench) {
    Set<String> columns = new HashSet<>();
    for (Instrument instrument : bench.instruments()) {
      if (instrument.sheet().equals(BY_EYE)) {
        columns.add(instrument.id());
      }
    }
    List<Use> read = new ArrayList<>();
    if (bench.channels().get(Use.TEST_PRESSURE) instanceof Source.Measured gauge
        && columns.contains(gauge.instrument())) {
      read.add(Use.TEST_PRESSURE);
    }
    if (columns.contains(bench.ranges().get(0).drop().instrument())) {
      read.add(Use.ELEMENT_DROP);
    }
    return read;
  }

  /** The same bench, with some of its gauges taken with the other sign. */
  public static Bench turned(Bench bench, Set<Use> uses) {
    Map<Use, Source> channels = new EnumMap<>(bench.channels());
    channels.replaceAll(
        (use, source) ->
            uses.contains(use)
                ? source.<Source>fold(Source.Measured::turned, typed -> typed)
                : source);
    List<Range> ranges =
        bench.ranges().stream()
            .map(
                range ->
                    uses.contains(Use.ELEMENT_DROP)
                        ? new Range(range.name(), range.element(), range.drop().turned())
                        : range)
            .toList();
    return new Bench(
        bench.identity(),
        bench.units(),
        bench.site(),
        bench.layout(),
        bench.plenum(),
        bench.instruments(),
        channels,
        ranges,
        bench.upkeep());
  }

  private void add(Recognised each) {
    String id = freeId(each.known().name());
    instruments.add(new Instrument(id, each.sheet(), line(each)));
    for (Channel channel : each.known().channels()) {
      use(channel).ifPresent(use -> channels.put(use, gauge(use, id, channel)));
    }
  }

  private String freeId(String sheet) {
    String plain =
        sheet
            .replaceFirst(".*[/\\\\]", "")
            .replaceFirst("\\.json$", "")
            .toLowerCase(Locale.ROOT)
            .replaceAll("[^a-z0-9]+", "-")
            .replaceFirst("^[^a-z]+", "");
    String base = plain.isEmpty() ? "instrument" : plain.substring(0, Math.min(30, plain.length()));
    Set<String> taken = new HashSet<>();
    instruments.forEach(instrument -> taken.add(instrument.id()));
    String id = base;
    for (int number = 2; taken.contains(id); number++) {
      id = base + "-" + number;
    }
    return id;
  }

  /** By what the device says of itself where that tells it from all others, else by its port. */
  private static Map<String, Object> line(Recognised each) {
    Map<String, String> ids = each.found().map(FoundLine::ids).orElse(Map.of());
    if (!ids.containsKey("usb") || !ids.containsKey("usb_serial")) {
      return each.place().line();
    }
    Map<String, Object> line = new LinkedHashMap<>(ids);
    line.put("kind", each.place().kind());
    return line;
  }

  /** What a channel is for: by its name; the first two pressures of a bench by their order. */
  private Optional<Use> use(Channel channel) {
    for (Use use : Use.values()) {
      boolean named =
          channel.name().equals(use.word()) || channel.name().equals(OTHER_NAMES.get(use));
      if (named && !use.besideTheFlow() && fits(use, channel)) {
        return Optional.of(use);
      }
    }
    for (Use use : new Use[] {Use.TEST_PRESSURE, Use.ELEMENT_DROP, Use.LIFT}) {
      if (fits(use, channel)) {
        return Optional.of(use);
      }
    }
    return Optional.empty();
  }

  private boolean fits(Use use, Channel channel) {
    return channel.unit().dimension() == use.dimension() && !channels.containsKey(use);
  }

  private static Source.Measured gauge(Use use, String instrument, Channel channel) {
    Guess guess = GUESSES.get(use);
    double ofReading = use.dimension() == Dimension.PRESSURE ? 0.05 : 0;
    return new Source.Measured(
        instrument,
        channel.name(),
        guess.low(),
        guess.high(),
        new Accuracy(ofReading, guess.halfWidth(), 0),
        0,
        false);
  }

  private void columnsByEye() {
    Set<Use> missing = EnumSet.of(Use.TEST_PRESSURE, Use.ELEMENT_DROP);
    missing.removeAll(channels.keySet());
    if (missing.isEmpty()) {
      return;
    }
    String id = freeId(BY_EYE);
    instruments.add(new Instrument(id, BY_EYE, Map.of()));
    for (Use use : missing) {
      Guess guess = GUESSES.get(use);
      channels.put(
          use,
          new Source.Measured(
              id,
              use.word(),
              guess.low(),
              guess.high(),
              new Accuracy(0.05, guess.halfWidth(), COARSEST_QUANTUM_PA),
              0,
              false));
    }
  }

  private Bench bench() {
    if (instruments.isEmpty()) {
      throw new Refusal(
          "no instrument was recognised, so no bench file is written; start from one of those in"
              + " docs/bench-file.md, or docs/first-test.md where all is read by eye");
    }
    columnsByEye();
    Source drop = channels.remove(Use.ELEMENT_DROP);
    channels.putIfAbsent(Use.ROOM_TEMPERATURE, new Source.Typed(293.15, 15));
    channels.putIfAbsent(Use.ROOM_PRESSURE, new Source.Typed(98_000, 6_000));
    OrificeElement plate =
        new OrificeElement(
            0.040,
            0.020,
            Optional.empty(),
            Expansibility.ISO_2003,
            Optional.of(new StatedCoefficient(0.6, 0.1)));
    return new Bench(
        Identity.named("New bench", NOTES),
        UnitSystem.METRIC,
        Site.UNKNOWN,
        ElementPlace.BLOWER_SIDE,
        Optional.empty(),
        instruments,
        channels,
        List.of(new Range("plate", plate, (Source.Measured) drop)),
        Upkeep.none(Epoch.FIRST));
  }
}
