package meniscus.recorder.file;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.UUID;
import java.util.function.Consumer;
import meniscus.core.bench.Bench;
import meniscus.core.bench.ElementPlace;
import meniscus.core.bench.FlowElement;
import meniscus.core.bench.Identity;
import meniscus.core.bench.Instrument;
import meniscus.core.bench.OutletEntry;
import meniscus.core.bench.Plenum;
import meniscus.core.bench.Range;
import meniscus.core.bench.Site;
import meniscus.core.bench.Source;
import meniscus.core.bench.Upkeep;
import meniscus.core.bench.Use;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.refusal.Refusal;

/**
 * The bench file, {@code bench.json}: docs/bench-file.md says each member, docs/schemas the form.
 */
public final class BenchFile {

  static final FormatVersion FORMAT = new FormatVersion("bench", 1, 1);

  /** Of a file with nothing that came later, for programs from before to read. */
  private static final FormatVersion FIRST = new FormatVersion("bench", 1, 0);

  /** What the program writes of the description. */
  private static final List<String> IDENTITY = List.of("id", "homes");

  private BenchFile() {}

  /**
   * Reads a bench file.
   *
   * @throws FileNotAccepted saying what is wrong, where, and what to do
   */
  public static Bench read(Path file) {
    return read(file.toString(), StrictJson.read(file), member -> {});
  }

  /** A bench out of JSON text, such as the copy in a test folder; {@code name} is for messages. */
  public static Bench parse(String name, String json) {
    return read(name, StrictJson.parse(name, json), member -> {});
  }

  /**
   * Writes a bench file whole or not at all. Where the bench is described as before, the
   * description stays as a person typed it, in his own units.
   *
   * @throws IOException when the disk does not take it; an old file is then as it was
   */
  public static void write(Path file, Bench bench) throws IOException {
    Optional<String> typed = Optional.empty();
    if (Files.exists(file)) {
      typed = Optional.of(Files.readString(file, StandardCharsets.UTF_8));
    }
    write(file, bench, typed);
  }

  /**
   * The same, with the description as somebody has just typed it.
   *
   * @param typed JSON of a bench; of no effect when it describes another one
   */
  public static void write(Path file, Bench bench, Optional<String> typed) throws IOException {
    Map<String, Object> fresh = write(new ObjectWriter(bench.units()), bench).members();
    WholeFile.write(
        file, StrictJson.print(typed.flatMap(text -> asTyped(text, bench, fresh)).orElse(fresh)));
  }

  /** The description as it was typed, with what was learned. */
  private static Optional<Map<String, Object>> asTyped(
      String typed, Bench bench, Map<String, Object> fresh) {
    try {
      Map<String, Object> members = StrictJson.parse("bench", typed);
      Bench described = read("bench", members, member -> {});
      Identity known = bench.identity();
      if (known.id().isPresent()) {
        described = described.as(described.identity().as(known.id().get(), known.homes()));
      }
      if (!described.with(any -> bench.upkeep()).equals(bench)) {
        return Optional.empty();
      }
      Map<String, Object> all = new LinkedHashMap<>();
      for (Map.Entry<String, Object> member : members.entrySet()) {
        all.put(member.getKey(), member.getValue());
        if (member.getKey().equals("name")) {
          IDENTITY.stream().filter(fresh::containsKey).forEach(own -> all.put(own, fresh.get(own)));
        }
      }
      IDENTITY.stream().filter(fresh::containsKey).forEach(own -> all.put(own, fresh.get(own)));
      all.put("meniscus", fresh.get("meniscus"));
      all.remove("upkeep");
      if (fresh.containsKey("upkeep")) {
        all.put("upkeep", fresh.get("upkeep"));
      }
      return Optional.of(all);
    } catch (FileNotAccepted e) {
      return Optional.empty();
    }
  }

  /**
   * Reads a bench file whose bench is about to be worked with.
   *
   * @throws FileNotAccepted saying what is wrong, where, and what to do; of a file that may be a
   *     copy for another bench, how to say what it is
   */
  public static Bench atHome(Path file) {
    Bench bench = read(file);
    if (isElsewhere(file, bench)) {
      throw new FileNotAccepted(BenchHome.question(file, bench.name()));
    }
    return bench;
  }

  /** Whether a bench's file was moved or copied to where it lies, and nobody has said which. */
  public static boolean isElsewhere(Path file, Bench bench) {
    return bench.identity().id().isPresent()
        && !bench.identity().homes().contains(BenchHome.of(file));
  }

  /**
   * The same of a bench whose tests are to know it. Where it has no id yet, one is drawn and
   * written; where the disk does not take it, nobody will know the bench again. One at a time: two
   * tests that begin together would draw two.
   *
   * @throws FileNotAccepted as {@link #atHome}
   */
  public static synchronized Bench identified(Path file) {
    Bench bench = atHome(file);
    if (bench.identity().id().isPresent()) {
      return bench;
    }
    Bench known = bench.as(bench.identity().as(UUID.randomUUID(), Set.of(BenchHome.of(file))));
    try {
      write(file, known);
      return known;
    } catch (IOException e) {
      return bench;
    }
  }

  /** The file's text; {@link #parse} gives the same bench again, to the last digit. */
  public static String text(Bench bench) {
    return StrictJson.print(write(new ObjectWriter(bench.units()), bench).members());
  }

  static Bench read(String name, Map<String, Object> json, Consumer<String> asked) {
    ObjectReader members = new ObjectReader(name, json, asked);
    try {
      FORMAT.check(members);
      return bench(members);
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  private static Bench bench(ObjectReader members) {
    String name = members.text("name");
    Optional<UUID> id = members.optionalText("id").map(text -> id(members, text));
    Set<String> homes = Set.copyOf(members.texts("homes"));
    Identity identity = new Identity(name, id, homes, members.text("notes", ""));
    UnitSystem units = members.choice("units", UnitSystem.class, UnitSystem.METRIC);
    Site site = site(members.within("site"));
    ElementPlace layout = members.choice("layout", ElementPlace.class);
    Optional<Plenum> plenum = members.optional("plenum").map(BenchFile::plenum);
    List<Instrument> instruments = members.list("instruments", BenchFile::instrument);
    Map<Use, Source> channels = channels(members.within("channels"));
    List<Range> ranges = members.list("ranges", BenchFile::range);
    List<OutletEntry> outlets = members.list("outlets", BenchFile::outlet);
    Upkeep upkeep = UpkeepForm.read(members.within("upkeep"), dimensions(channels, ranges));
    members.done();
    return members.made(
        () ->
            new Bench(
                identity,
                units,
                site,
                layout,
                plenum,
                instruments,
                channels,
                ranges,
                upkeep,
                outlets));
  }

  private static UUID id(ObjectReader members, String text) {
    try {
      return UUID.fromString(text);
    } catch (IllegalArgumentException e) {
      throw new Refusal(
          members.where()
              + ", id: \""
              + text
              + "\" is not an id; leave the member out, and the program draws one");
    }
  }

  private static ObjectWriter write(ObjectWriter written, Bench bench) {
    written
        .put("meniscus", (bench.outlets().isEmpty() ? FIRST : FORMAT).toString())
        .put("name", bench.name())
        .text("id", bench.identity().id().map(UUID::toString).orElse(""));
    if (!bench.identity().homes().isEmpty()) {
      written.put("homes", bench.identity().homes().stream().sorted().toList());
    }
    written
        .text("notes", bench.identity().notes())
        .put("units", bench.units().word())
        .put("site", write(written.another(), bench.site()))
        .put("layout", bench.layout().word());
    bench
        .plenum()
        .ifPresent(
            plenum ->
                written.put(
                    "plenum",
                    written
                        .another()
                        .si("volume", plenum.volumeM3(), Dimension.VOLUME)
                        .si(
                            "standard_uncertainty",
                            plenum.standardUncertaintyM3(),
                            Dimension.VOLUME)));
    ObjectWriter channels = written.another();
    new TreeMap<>(bench.channels())
        .forEach(
            (use, source) ->
                channels.put(
                    use.word(), SourceForm.write(written.another(), source, use.dimension())));
    return written
        .list("instruments", bench.instruments(), each -> write(written.another(), each))
        .put("channels", channels)
        .list("ranges", bench.ranges(), range -> write(written.another(), range))
        .list("outlets", bench.outlets(), outlet -> write(written.another(), outlet))
        .put(
            "upkeep",
            UpkeepForm.write(
                written.another(), bench.upkeep(), dimensions(bench.channels(), bench.ranges())));
  }

  private static Site site(ObjectReader members) {
    OptionalDouble altitude = members.optionalSi("altitude", Dimension.LENGTH);
    Site.Barometer barometer =
        members.choice("barometer", Site.Barometer.class, Site.Barometer.STATION);
    double mainsHz = members.number("mains_hz", Site.UNKNOWN.mainsHz());
    members.done();
    return members.made(() -> new Site(altitude, barometer, mainsHz));
  }

  private static ObjectWriter write(ObjectWriter written, Site site) {
    return written
        .si("altitude", site.altitudeM(), Dimension.LENGTH)
        .put("barometer", site.barometer().word())
        .put("mains_hz", site.mainsHz());
  }

  private static Plenum plenum(ObjectReader members) {
    double volume = members.si("volume", Dimension.VOLUME);
    double uncertainty = members.si("standard_uncertainty", Dimension.VOLUME);
    members.done();
    return members.made(() -> new Plenum(volume, uncertainty));
  }

  private static Instrument instrument(ObjectReader members) {
    String id = members.text("id");
    String sheet = members.text("sheet");
    Map<String, Object> line = members.untouched("line");
    Optional<String> serial = members.optionalText("serial");
    members.done();
    return members.made(() -> new Instrument(id, sheet, line, serial));
  }

  private static ObjectWriter write(ObjectWriter written, Instrument instrument) {
    written.put("id", instrument.id()).put("sheet", instrument.sheet());
    instrument.serial().ifPresent(serial -> written.put("serial", serial));
    return instrument.line().isEmpty()
        ? written
        : written.put("line", new TreeMap<>(instrument.line()));
  }

  /** What the plugin needs is asked for by the plugin, when it is there. */
  private static OutletEntry outlet(ObjectReader members) {
    String name = members.text("name");
    String plugin = members.text("plugin");
    return members.made(
        () -> new OutletEntry(name, plugin, members.others(Set.of("name", "plugin"))));
  }

  private static ObjectWriter write(ObjectWriter written, OutletEntry outlet) {
    written.put("name", outlet.name()).put("plugin", outlet.plugin());
    new TreeMap<>(outlet.settings()).forEach(written::put);
    return written;
  }

  private static Map<Use, Source> channels(ObjectReader members) {
    Map<Use, Source> channels = new EnumMap<>(Use.class);
    if (members.names().contains(Use.ELEMENT_DROP.word())) {
      throw new Refusal(
          members.where()
              + ": element_drop does not stand here; name its gauge as the \"drop\" of a range");
    }
    for (Use use : Use.values()) {
      if (use != Use.ELEMENT_DROP && members.has(use.word())) {
        channels.put(use, SourceForm.read(members.entry(use.word()), use.dimension()));
      }
    }
    members.done();
    return channels;
  }

  private static Range range(ObjectReader members) {
    String name = members.text("name");
    FlowElement element = ElementForm.read(members.required("element"));
    Source.Measured drop =
        SourceForm.measured(members.required("drop"), Use.ELEMENT_DROP.dimension());
    members.done();
    return members.made(() -> new Range(name, element, drop));
  }

  private static ObjectWriter write(ObjectWriter written, Range range) {
    return written
        .put("name", range.name())
        .put("element", ElementForm.write(written.another(), range.element()))
        .put(
            "drop",
            SourceForm.write(written.another(), range.drop(), Use.ELEMENT_DROP.dimension()));
  }

  private static Map<String, Dimension> dimensions(Map<Use, Source> channels, List<Range> ranges) {
    Map<String, Dimension> found = new HashMap<>();
    channels.forEach(
        (use, source) -> {
          if (source instanceof Source.Measured gauge) {
            found.put(gauge.key(), use.dimension());
          }
        });
    ranges.forEach(range -> found.put(range.drop().key(), Use.ELEMENT_DROP.dimension()));
    return found;
  }
}
