package meniscus.recorder.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;
import meniscus.core.air.AirState;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Question;
import meniscus.core.finding.Finding;
import meniscus.core.finding.Finding.Kind;
import meniscus.core.finding.PressureSweep;
import meniscus.core.flow.Direction;
import meniscus.core.lift.TestCurve;
import meniscus.drivers.simulated.DemoChange;
import meniscus.drivers.simulated.TrueLift;
import meniscus.recorder.record.Recorder;
import meniscus.recorder.record.Recorder.Ran;
import meniscus.recorder.report.TestRead;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Each cause of docs/simulated-bench.md through a whole job: bench made ready, both tests taken on
 * the wire, compared by the command. What must be said, and what must not, is told by the kinds in
 * the JSON; a gain or a loss is false where the simulation's own port did not change that way.
 */
@Tag("long")
class DemoScenarioTest {

  private static final double INCH = 0.0254;

  /** Whatever speaks of the short side. */
  private static final Set<Kind> SHORT_SIDE =
      EnumSet.of(Kind.LIKELY_SHORT_SIDE, Kind.LOSES_AT_HIGH_LIFT);

  private static final String CONFIRM = "confirm 0.600 in\n";

  /** Below, at and above where something happens, at half of the demo's ladder. */
  private static final List<Double> FEW = List.of(0.1, 0.2, 0.3, 0.4, 0.5, 0.55, 0.6);

  @TempDir static Path temp;

  /**
   * What was said of a job.
   *
   * @param found kinds with the lifts they are about [in]
   * @param gains lifts at which a gain is claimed [in]
   * @param losses the same for a loss
   * @param untrue claims that are not so
   * @param folder of the test after the change
   */
  private record Said(
      Map<Kind, List<Double>> found,
      List<Double> gains,
      List<Double> losses,
      List<Double> untrue,
      Path folder) {

    boolean has(Kind kind) {
      return found.containsKey(kind);
    }

    boolean hasAny(Set<Kind> kinds) {
      return kinds.stream().anyMatch(this::has);
    }
  }

  @Test
  void aChokeIsNoShortSideAndConfirmSaysThatNothingFalls() throws IOException {
    Said said = said(1, DemoChange.CHOKE, FEW, CONFIRM);
    assertEquals(List.of(), said.untrue);
    assertTrue(said.losses.containsAll(List.of(0.5, 0.55, 0.6)), said.toString());
    assertTrue(said.has(Kind.LOSES_AT_HIGH_LIFT), said.toString());
    assertTrue(said.has(Kind.GAINED_BELOW_LOST_ABOVE), said.toString());
    assertFalse(said.has(Kind.LIKELY_SHORT_SIDE), said.toString());
    assertFalse(said.has(Kind.LOST_AT_LOW_LIFT), "one loss is one: " + said);
    assertEquals(Optional.of(false), told(said));
    Set<Kind> before = withoutConfirm(said);
    assertTrue(before.contains(Kind.LOSES_AT_HIGH_LIFT), before.toString());
    assertFalse(before.contains(Kind.LIKELY_SHORT_SIDE), before.toString());
  }

  @Test
  void aShortSideThatGivesWayLittleByLittleFallsOverPressure() throws IOException {
    Said said = said(1, DemoChange.GRADUAL_STALL, FEW, CONFIRM);
    assertEquals(List.of(), said.untrue);
    assertEquals(List.of(), said.gains, "nothing is gained below");
    assertTrue(said.losses.contains(0.6), said.toString());
    assertEquals(Optional.of(true), told(said));
    assertTrue(said.has(Kind.LIKELY_SHORT_SIDE), said.toString());
    assertTrue(said.has(Kind.PRESSURE_SWEEP), said.toString());
    Set<Kind> before = withoutConfirm(said);
    assertTrue(before.stream().anyMatch(SHORT_SIDE::contains), before.toString());
  }

  @Test
  void aFlutterTooFastToBeSeenJumpingIsHeardAsRougherAir() throws IOException {
    Said said = said(1, DemoChange.FAST_FLUTTER, FEW, "");
    assertEquals(List.of(), said.untrue);
    assertEquals(List.of(), said.gains, "nothing is gained below");
    assertTrue(said.losses.containsAll(List.of(0.55, 0.6)), said.toString());
    assertTrue(said.has(Kind.LIKELY_SHORT_SIDE), said.toString());
  }

  @Test
  void aWetSeatIsNoMatterOfTheShortSide() throws IOException {
    Said said = said(1, DemoChange.WET_SEAT, List.of(0.05, 0.1, 0.15, 0.2, 0.3, 0.45, 0.6), "");
    assertEquals(List.of(), said.untrue);
    assertTrue(said.has(Kind.LOST_AT_LOW_LIFT), said.toString());
    assertTrue(said.losses.stream().allMatch(lift -> lift < 0.2), said.toString());
    assertFalse(said.hasAny(SHORT_SIDE), said.toString());
  }

  @Test
  void aDialSetWrongMakesNoClaim() throws IOException {
    Said said = said(1, DemoChange.SHIFTED_ZERO, List.of(0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.6), "");
    assertEquals(List.of(), said.untrue);
    assertFalse(said.hasAny(SHORT_SIDE), said.toString());
    assertFalse(said.has(Kind.LOST_AT_LOW_LIFT), said.toString());
  }

  @Test
  void aGrownLeakIsNamedAndNothingThatItExplainsIsClaimed() throws IOException {
    Said said = said(1, DemoChange.GROWN_LEAK, List.of(), "");
    assertEquals(List.of(), said.untrue);
    assertTrue(said.has(Kind.LIKE_A_LEAK), said.toString());
    assertFalse(said.hasAny(SHORT_SIDE), said.toString());
  }

  @Test
  void oneCalmRecordOnTheDiskServesAllTests() throws IOException {
    Path job = job(1);
    try (Stream<Path> record = Files.list(job.resolve("calm"))) {
      for (Path file : record.toList()) {
        for (String test : List.of("before", "after")) {
          assertTrue(Files.isSameFile(file, job.resolve(test + "/calm/" + file.getFileName())));
        }
      }
    }
  }

  /** Kinds by scenario over many seeds, {@code -Dmeniscus.jobs}. */
  @Test
  @Tag("bench")
  void tableOfScenarios() throws IOException {
    int jobs = Integer.getInteger("meniscus.jobs", 20);
    for (DemoChange change : DemoChange.values()) {
      Map<Kind, Integer> counts = new EnumMap<>(Kind.class);
      int untrue = 0;
      for (int seed = 1; seed <= jobs; seed++) {
        Said said = said(seed, change, List.of(), "");
        said.found.keySet().forEach(kind -> counts.merge(kind, 1, Integer::sum));
        untrue += said.untrue.isEmpty() ? 0 : 1;
      }
      System.out.printf(
          Locale.ROOT,
          "%s: %d jobs, false claims in %d, found %s%n",
          change.word(),
          jobs,
          untrue,
          counts);
      assertTrue(untrue <= 0.05 * jobs + 3 * Math.sqrt(0.05 * 0.95 * jobs), change + ": " + untrue);
    }
  }

  /**
   * The head after a change, on the demo's bench, against the head as received.
   *
   * @param lifts asked [in]; empty: the demo's own
   * @param typed at the bench
   */
  private static Said said(int seed, DemoChange change, List<Double> lifts, String typed)
      throws IOException {
    Path job = job(seed);
    Path out = job.resolve(change.word());
    Path plan = job.resolve(change.word() + ".json");
    String asked = Files.readString(job.resolve("plan.json"));
    String ladder = "{\"from\": 0.05, \"to\": 0.6, \"step\": 0.05}";
    assertTrue(asked.contains(ladder), asked);
    Files.writeString(
        plan,
        lifts.isEmpty() ? asked : asked.replace(ladder, "{\"lifts\": " + lifts + "}"),
        StandardCharsets.UTF_8);
    run(
        typed,
        "record",
        "--bench",
        job.resolve("bench.json"),
        "--plan",
        plan,
        "--head",
        change.word(),
        "--seed",
        seed * 1000 + 12,
        "--out",
        out,
        "--quick",
        "--hands-free",
        "--json");
    JsonNode json =
        Recorder.json(run("", "compare", job.resolve("before"), "--after", out, "--json"));
    Map<Kind, List<Double>> found = new TreeMap<>();
    for (JsonNode finding : json.get("findings")) {
      List<Double> at = found.computeIfAbsent(kind(finding), k -> new ArrayList<>());
      finding.get("lifts").forEach(lift -> at.add(lift.asDouble()));
    }
    Said said =
        new Said(found, lifts(json, "gain"), lifts(json, "loss"), untrue(change, json), out);
    System.out.println(change.word() + ", seed " + seed + ": " + said);
    return said;
  }

  private static Path job(int seed) {
    Path out = temp.resolve("demo-" + seed);
    if (!Files.exists(out)) {
      run("", "demo", "--quick", "--seed", seed, "--out", out);
    }
    return out;
  }

  private static Kind kind(JsonNode finding) {
    String word = finding.get("kind").asText();
    return Stream.of(Kind.values()).filter(k -> k.word().equals(word)).findFirst().orElseThrow();
  }

  private static List<Double> lifts(JsonNode compared, String outcome) {
    List<Double> lifts = new ArrayList<>();
    for (JsonNode lift : compared.get("lifts")) {
      if (lift.get("outcome").asText().equals(outcome)) {
        lifts.add(lift.get("lift").asDouble());
      }
    }
    return lifts;
  }

  /** Lifts whose claimed gain or loss the simulation's port has not. */
  private static List<Double> untrue(DemoChange change, JsonNode compared) {
    List<Double> untrue = new ArrayList<>();
    for (String outcome : List.of("gain", "loss")) {
      for (double lift : lifts(compared, outcome)) {
        double so =
            TrueLift.ladder(
                    change.scenario(),
                    List.of(lift * INCH),
                    Direction.SUCTION,
                    28 * 249.08891,
                    new AirState(293.15, 101_325, 0))
                .get(0)
                .relativeDifference();
        if (outcome.equals("gain") ? so < 1e-9 : so > -1e-9) {
          untrue.add(lift);
        }
      }
    }
    return untrue;
  }

  /** What the pressure sweep at the suspected lift says; empty when it cannot tell. */
  private static Optional<Boolean> told(Said said) {
    List<PressureSweep> sweeps =
        PressureSweep.in(curve(said.folder), List.of(curve(said.folder.resolveSibling("before"))));
    PressureSweep last = sweeps.get(sweeps.size() - 1);
    assertEquals(0.6 * INCH, last.liftM(), 1e-5);
    return last.told();
  }

  /** Kinds that would have been found without the confirming experiment. */
  private static Set<Kind> withoutConfirm(Said said) {
    TestCurve whole = curve(said.folder);
    TestCurve bare =
        new TestCurve(
            whole.name(),
            whole.bench(),
            whole.calibration(),
            whole.repeatability(),
            whole.plan(),
            whole.room(),
            whole.health(),
            whole.points().stream().filter(point -> point.rung() <= FEW.size()).toList());
    Comparison comparison =
        Comparison.of(
            List.of(curve(said.folder.resolveSibling("before"))), List.of(bare), Question.PLAIN);
    Set<Kind> kinds = EnumSet.noneOf(Kind.class);
    comparison.findings().stream().map(Finding::kind).forEach(kinds::add);
    return kinds;
  }

  private static TestCurve curve(Path folder) {
    return TestRead.open(folder).curve();
  }

  private static String run(String typed, Object... arguments) {
    Ran ran = Recorder.run(typed, arguments);
    assertEquals(0, ran.exitCode(), ran.err());
    return ran.out();
  }
}
