package meniscus.core.bench;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.UnaryOperator;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.refusal.Refusal;

/**
 * One flow bench. Its parts fit together: every channel is of an instrument that stands here, and
 * none serves two purposes.
 *
 * @param identity who it is
 * @param units in which its owner reads and writes
 * @param site where it stands
 * @param layout where the flow element stands
 * @param plenum when its volume is known
 * @param instruments what stands on the bench
 * @param channels what each use is read from; the element's drop is named by its range
 * @param ranges at least one; the first is the one taken when a plan names none
 * @param upkeep what has been learned of it
 * @param outlets where its facts go
 */
public record Bench(
    Identity identity,
    UnitSystem units,
    Site site,
    ElementPlace layout,
    Optional<Plenum> plenum,
    List<Instrument> instruments,
    Map<Use, Source> channels,
    List<Range> ranges,
    Upkeep upkeep,
    List<OutletEntry> outlets) {

  /** A bench without hygrometer: relative humidity anywhere from 0 to 100 %. */
  public static final Source ANY_HUMIDITY = new Source.Typed(0.5, 0.5);

  public Bench {
    Objects.requireNonNull(identity);
    Objects.requireNonNull(units);
    Objects.requireNonNull(site);
    Objects.requireNonNull(layout);
    Objects.requireNonNull(plenum);
    Objects.requireNonNull(upkeep);
    instruments = List.copyOf(instruments);
    channels = Map.copyOf(channels);
    ranges = List.copyOf(ranges);
    outlets = List.copyOf(outlets);
    checkNames(instruments, ranges, outlets);
    checkUses(channels);
    checkChannels(instruments, channels, ranges);
  }

  /** A bench that tells nobody of itself. */
  public Bench(
      Identity identity,
      UnitSystem units,
      Site site,
      ElementPlace layout,
      Optional<Plenum> plenum,
      List<Instrument> instruments,
      Map<Use, Source> channels,
      List<Range> ranges,
      Upkeep upkeep) {
    this(identity, units, site, layout, plenum, instruments, channels, ranges, upkeep, List.of());
  }

  /** What people call it. */
  public String name() {
    return identity.name();
  }

  /**
   * What no other bench has: its id, with the serial numbers of its instruments, which tell a copy
   * of its file on another bench. Empty as long as no id was drawn.
   */
  public Optional<String> mark() {
    return identity
        .id()
        .map(
            id ->
                Stream.concat(
                        Stream.of(id.toString()),
                        instruments.stream().flatMap(one -> one.serial().stream()))
                    .collect(Collectors.joining(" ")));
  }

  /**
   * The bench and its epoch, as of one test: the same text means the same bench, unchanged in
   * between. A bench without an id is known by its calibration alone, which no other bench has;
   * without one it is known by nothing, and the text is this test's own.
   *
   * @param test name that no other test at hand has
   * @param calibration that the test was taken with
   */
  public String stretch(String test, Optional<CalibrationRef> calibration) {
    Epoch epoch = upkeep.epoch();
    return name()
        + (epoch.afterChange() ? ", " + epoch.words() + ", change " + (epoch.number() - 1) : "")
        + mark()
            .or(() -> calibration.map(known -> "calibration " + known.sha256()))
            .map(mark -> " (" + mark + ")")
            .orElse(" (id unknown, as in " + test + ")");
  }

  /** False when the other is another bench for certain. */
  public boolean mayBe(Bench other) {
    return mark().isPresent() && other.mark().isPresent()
        ? mark().equals(other.mark())
        : name().equals(other.name());
  }

  /** The source of a use; humidity has one even where no hygrometer stands. */
  public Optional<Source> source(Use use) {
    Source found = channels.get(use);
    return found == null && use == Use.ROOM_HUMIDITY
        ? Optional.of(ANY_HUMIDITY)
        : Optional.ofNullable(found);
  }

  /**
   * A range by name.
   *
   * @throws Refusal naming the bench's ranges when there is none of that name
   */
  public Range range(String wanted) {
    return ranges.stream()
        .filter(range -> range.name().equals(wanted))
        .findFirst()
        .orElseThrow(
            () ->
                new Refusal(
                    "the bench has no range \""
                        + wanted
                        + "\"; it has: "
                        + ranges.stream().map(Range::name).collect(Collectors.joining(", "))));
  }

  /** The zero of a gauge; {@link Zero#NONE} when it was never taken. */
  public Zero zero(Source.Measured gauge) {
    return upkeep.zeros().getOrDefault(gauge.key(), Zero.NONE);
  }

  /** The same bench, known as that. */
  public Bench as(Identity known) {
    return new Bench(
        known, units, site, layout, plenum, instruments, channels, ranges, upkeep, outlets);
  }

  /** The same bench, with something learned. */
  public Bench with(UnaryOperator<Upkeep> learned) {
    return new Bench(
        identity,
        units,
        site,
        layout,
        plenum,
        instruments,
        channels,
        ranges,
        learned.apply(upkeep),
        outlets);
  }

  private static void checkNames(
      List<Instrument> instruments, List<Range> ranges, List<OutletEntry> outlets) {
    ShortName.differ("instruments", "id", instruments.stream().map(Instrument::id).toList());
    if (ranges.isEmpty()) {
      throw new Refusal(
          "no range is given: describe at least one flow element and the gauge across it");
    }
    ShortName.differ("ranges", "name", ranges.stream().map(Range::name).toList());
    ShortName.differ("outlets", "name", outlets.stream().map(OutletEntry::name).toList());
  }

  private static void checkUses(Map<Use, Source> channels) {
    if (channels.containsKey(Use.ELEMENT_DROP)) {
      throw new Refusal(
          "element_drop stands among the channels: name its gauge as the drop of a range instead");
    }
    if (!(channels.get(Use.TEST_PRESSURE) instanceof Source.Measured)) {
      throw new Refusal(
          "no channel reads the test pressure: give test_pressure an instrument and a channel");
    }
    for (Use use : List.of(Use.ROOM_TEMPERATURE, Use.ROOM_PRESSURE)) {
      if (!channels.containsKey(use)) {
        throw new Refusal(
            use.word()
                + " is missing: name its channel, or type the value with limits that surely hold");
      }
    }
    if (channels.containsKey(Use.FLUCTUATION) && channels.containsKey(Use.FLUCTUATION_ON_BENCH)) {
      throw new Refusal(
          "fluctuation and fluctuation_on_bench are both given: there is one fast channel, near the"
              + " short side or staying on the bench");
    }
    if (channels.get(Use.LIFT) instanceof Source.Typed) {
      throw new Refusal(
          "lift cannot be one typed value: name its channel, or leave it out and set each lift by"
              + " hand");
    }
  }

  private static void checkChannels(
      List<Instrument> instruments, Map<Use, Source> channels, List<Range> ranges) {
    Set<String> known = instruments.stream().map(Instrument::id).collect(Collectors.toSet());
    Map<String, String> takenBy = new HashMap<>();
    new TreeMap<>(channels)
        .forEach(
            (use, source) -> {
              if (source instanceof Source.Measured gauge) {
                checkInstrument(gauge, use.word(), known);
                String other = takenBy.putIfAbsent(gauge.key(), use.word());
                if (other != null) {
                  throw usedTwice(gauge, other, use.word());
                }
              }
            });
    for (Range range : ranges) {
      String place = "range \"" + range.name() + "\"";
      checkInstrument(range.drop(), place, known);
      String other = takenBy.get(range.drop().key());
      if (other != null) {
        throw usedTwice(range.drop(), other, place);
      }
    }
  }

  private static void checkInstrument(Source.Measured gauge, String place, Set<String> known) {
    if (!known.contains(gauge.instrument())) {
      throw new Refusal(
          place
              + ": the bench has no instrument \""
              + gauge.instrument()
              + "\"; it has: "
              + known.stream().sorted().collect(Collectors.joining(", ")));
    }
  }

  private static Refusal usedTwice(Source.Measured gauge, String first, String second) {
    return new Refusal(
        "channel "
            + gauge.key()
            + " is used twice, by "
            + first
            + " and by "
            + second
            + ": one channel reads one quantity");
  }

  /** What the fast channel is used for, where there is one. */
  public Optional<Use> fastUse() {
    return Stream.of(Use.FLUCTUATION, Use.FLUCTUATION_ON_BENCH)
        .filter(channels::containsKey)
        .findFirst();
  }

  /**
   * Index of the instrument with the fast channel, where the bench has one of which nothing is
   * needed for a flow: its readings may be kept apart, and end, without the test.
   */
  public OptionalInt fastInstrument() {
    Optional<String> id =
        fastUse()
            .flatMap(this::source)
            .flatMap(
                source -> source.fold(g -> Optional.of(g.instrument()), t -> Optional.empty()));
    return IntStream.range(0, instruments.size())
        .filter(i -> id.isPresent() && instruments.get(i).id().equals(id.get()))
        .filter(i -> !needed(id.get()))
        .findFirst();
  }

  private boolean needed(String instrument) {
    return ranges.stream().anyMatch(range -> range.drop().instrument().equals(instrument))
        || channels.entrySet().stream()
            .filter(entry -> !entry.getKey().besideTheFlow())
            .anyMatch(
                entry -> entry.getValue().fold(g -> g.instrument().equals(instrument), t -> false));
  }
}
