package meniscus.recorder.outlet;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.UUID;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import meniscus.core.bench.Bench;
import meniscus.core.bench.HealthEntry;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.RungStands;
import meniscus.core.lift.StandingPoints;
import meniscus.core.lift.TestEvent;
import meniscus.core.outlet.Fact;
import meniscus.core.time.UtcAnchor;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Recovered;

/**
 * The facts of a test, out of its journal or its finished folder, in the order in which they
 * happened and with the same keys whichever it was. What a folder has no numbers of any more, a
 * point that was taken back, is a fact only if it was told before; then its taking back is one too.
 * Places are not given here.
 *
 * <p>Numbers bear the names that the collection of {@code collect} gives them.
 */
final class TestFacts {

  private final String test;
  private final Fact.Of of;
  private final Predicate<String> told;
  private final List<Fact> facts = new ArrayList<>();
  private final Set<String> keys = new HashSet<>();
  private final Map<String, Integer> times = new HashMap<>();
  private final StandingPoints<Optional<LiftPoint>> standing = new StandingPoints<>();
  private Optional<UtcAnchor> anchor = Optional.empty();
  private Instant last;

  /**
   * @param told whether a key has been told
   */
  private TestFacts(UUID id, Optional<UUID> benchId, Instant began, Predicate<String> told) {
    this.test = id.toString();
    this.of = new Fact.Of(benchId, Optional.of(id));
    this.told = told;
    this.last = began;
  }

  /**
   * What a test that is not finished has come to.
   *
   * @param told whether a key has been told
   * @return what has not; none of a test without an id
   */
  static List<Fact> ofJournal(Recovered journal, Predicate<String> told) throws IOException {
    Header header = journal.headerOrRefuse();
    if (header.id().isEmpty() || !header.files().containsKey(Header.PLAN)) {
      return List.of();
    }
    TestFacts facts =
        begun(
            header.id().get(),
            header.created(),
            text(header.files().get(Header.BENCH)),
            text(header.plan()),
            told);
    for (Recovered.Entry entry : journal.entries()) {
      facts.happened(entry.event(), entry.point());
    }
    return facts.facts;
  }

  /** The same of a finished one. */
  static List<Fact> ofFolder(TestFolder folder, Predicate<String> told) throws IOException {
    if (folder.id().isEmpty() || folder.isOfPlate()) {
      return List.of();
    }
    TestFacts facts =
        begun(
            folder.id().get(),
            folder.created(),
            folder.text(Header.BENCH),
            folder.text(Header.PLAN),
            told);
    List<LiftPoint> points = folder.points();
    Map<List<Integer>, LiftPoint> kept =
        points.stream()
            .collect(Collectors.toMap(p -> List.of(p.rung(), p.attempt()), point -> point));
    for (TestEvent event : folder.events()) {
      facts.happened(
          event,
          event.what() instanceof TestEvent.Kept what
              ? Optional.ofNullable(kept.get(List.of(what.rung(), what.attempt())))
              : Optional.empty());
    }
    facts.finished(points);
    return facts.facts;
  }

  private static TestFacts begun(
      UUID id, Instant began, String bench, String plan, Predicate<String> told) {
    Bench of = BenchFile.parse(Header.BENCH, bench);
    Plan planned = PlanFile.parse(Header.PLAN, plan);
    TestFacts facts = new TestFacts(id, of.identity().id(), began, told);
    SortedMap<String, String> words = new TreeMap<>();
    Plan.Part part = planned.part();
    words.put("bench_name", of.name());
    words.put("head", part.head());
    words.put("chamber", part.chamber());
    words.put("port", part.port());
    words.put("valve_job", part.valveJob());
    words.put("port_kind", planned.port().word());
    words.put("direction", planned.direction().word());
    words.values().removeIf(String::isBlank);
    SortedMap<String, Double> numbers = new TreeMap<>();
    numbers.put("rungs", (double) planned.ladder().size());
    facts.tell("begun", Fact.Kind.TEST_BEGUN, began, numbers, words, List.of());
    return facts;
  }

  private static String text(byte[] utf8) {
    return new String(utf8, StandardCharsets.UTF_8);
  }

  private void happened(TestEvent event, Optional<LiftPoint> point) {
    if (event.what() instanceof TestEvent.Segment segment) {
      anchor = Optional.of(new UtcAnchor(segment.anchor(), event.moment()));
    }
    last = anchor.map(from -> from.instantOf(event.moment())).orElse(last);
    Optional<Integer> of = rung(event.what());
    if (of.isEmpty()) {
      return;
    }
    int rung = of.get();
    RungStands before = standing.stands(rung);
    if (event.what() instanceof TestEvent.Kept kept) {
      standing.keep(rung, kept.attempt(), point);
    } else {
      standing.happened(event.what());
    }
    RungStands after = standing.stands(rung);
    if (before.equals(after)) {
      return;
    }
    if (before.how() == RungStands.How.KEPT) {
      undone(rung, before.attempt());
    }
    if (after.how() == RungStands.How.KEPT) {
      kept(rung, after.attempt(), standing.point(rung).flatMap(any -> any));
    }
  }

  private static Optional<Integer> rung(TestEvent.What what) {
    if (what instanceof TestEvent.Kept kept) {
      return Optional.of(kept.rung());
    }
    if (what instanceof TestEvent.Redone redone) {
      return Optional.of(redone.rung());
    }
    if (what instanceof TestEvent.Skipped skipped) {
      return Optional.of(skipped.rung());
    }
    return what instanceof TestEvent.Undone undone ? Optional.of(undone.rung()) : Optional.empty();
  }

  /** Counted from the second time on: an undone redo keeps the same attempt again. */
  private String counted(String name) {
    int time = times.merge(name, 1, Integer::sum);
    return time == 1 ? name : name + "/" + time;
  }

  private void kept(int rung, int attempt, Optional<LiftPoint> point) {
    String name = counted("kept/" + rung + "/" + attempt);
    point.ifPresentOrElse(
        known -> {
          SortedMap<String, Double> numbers = numbers(known);
          SortedMap<String, String> words = new TreeMap<>();
          words.put("verdict", known.verdict().word());
          words.put("sweep", known.sweep().word());
          words.put("range", known.range());
          tell(name, Fact.Kind.POINT_KEPT, last, numbers, words, List.of());
        },
        () -> {
          if (told.test(key(name))) {
            keys.add(key(name));
          }
        });
  }

  private void undone(int rung, int attempt) {
    String name = counted("undone/" + rung + "/" + attempt);
    int kept = times.get("kept/" + rung + "/" + attempt);
    if (keys.contains(key("kept/" + rung + "/" + attempt + (kept == 1 ? "" : "/" + kept)))) {
      SortedMap<String, Double> numbers = new TreeMap<>();
      numbers.put("rung", (double) rung);
      numbers.put("attempt", (double) attempt);
      tell(name, Fact.Kind.POINT_UNDONE, last, numbers, new TreeMap<>(), List.of());
    }
  }

  /** With the points as they stand in the folder: an interval may be another one by then. */
  private void finished(List<LiftPoint> points) {
    SortedMap<String, Double> numbers = new TreeMap<>();
    numbers.put("points_kept", (double) points.size());
    tell(
        "finished",
        Fact.Kind.TEST_FINISHED,
        last,
        numbers,
        new TreeMap<>(),
        points.stream().map(TestFacts::numbers).toList());
  }

  private static SortedMap<String, Double> numbers(LiftPoint point) {
    SortedMap<String, Double> numbers = new TreeMap<>();
    numbers.put("rung", (double) point.rung());
    numbers.put("attempt", (double) point.attempt());
    numbers.put("lift_m", point.liftM());
    put(numbers, "lift_read_m", point.setting().liftReadM());
    put(numbers, "lift_u95_m", point.setting().liftU95());
    numbers.put("flow_m3_per_s", point.flowM3PerS());
    put(numbers, "flow_u95_m3_per_s", point.flowU95());
    put(numbers, "flow_repeat_u95_m3_per_s", point.flowRepeatU95());
    numbers.put("test_pressure_pa", point.testPressurePa());
    numbers.put("effective_area_m2", point.effectiveAreaM2());
    put(numbers, "cd_curtain", point.flow().cdCurtain());
    put(numbers, "unsteadiness", point.unsteadiness());
    numbers.put("window_s", point.average().seconds());
    numbers.put("effective_samples", point.average().effectiveSamples());
    numbers.values().removeIf(number -> !Double.isFinite(number));
    return numbers;
  }

  private static void put(SortedMap<String, Double> numbers, String name, OptionalDouble number) {
    number.ifPresent(known -> numbers.put(name, known));
  }

  private String key(String name) {
    return test + "/" + name;
  }

  private void tell(
      String name,
      Fact.Kind kind,
      Instant at,
      SortedMap<String, Double> numbers,
      SortedMap<String, String> words,
      List<SortedMap<String, Double>> points) {
    String key = key(name);
    keys.add(key);
    if (!told.test(key)) {
      facts.add(new Fact(key, 0, kind, at, of, new Fact.Values(numbers, words, points)));
    }
  }

  /**
   * The plate checks in a bench's health log that were not told; none of a bench without an id.
   *
   * @param told whether a key has been told
   */
  static List<Fact> ofBench(Bench bench, Predicate<String> told) {
    Optional<UUID> id = bench.identity().id();
    return bench.upkeep().health().stream()
        .filter(entry -> entry.kind() == HealthEntry.Kind.PLATE_CHECK && id.isPresent())
        .map(entry -> plate(id.get(), entry))
        .filter(fact -> !told.test(fact.key()))
        .toList();
  }

  private static Fact plate(UUID bench, HealthEntry entry) {
    SortedMap<String, String> words = new TreeMap<>();
    words.put("plate", entry.subject());
    entry.direction().ifPresent(direction -> words.put("direction", direction.word()));
    entry.range().ifPresent(range -> words.put("range", range));
    SortedMap<String, Double> numbers = new TreeMap<>();
    numbers.put("epoch", (double) entry.epoch());
    numbers.put("flow_over_expected", entry.value() / entry.expected());
    numbers.put("standard_uncertainty", entry.standardUncertainty());
    put(numbers, "limit", entry.limit());
    numbers.values().removeIf(number -> !Double.isFinite(number));
    return new Fact(
        bench + "/plate/" + entry.at() + "/" + entry.subject(),
        0,
        Fact.Kind.PLATE_CHECKED,
        entry.at(),
        new Fact.Of(Optional.of(bench), Optional.empty()),
        new Fact.Values(numbers, words, List.of()));
  }
}
