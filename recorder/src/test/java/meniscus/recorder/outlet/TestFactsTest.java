package meniscus.recorder.outlet;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.UUID;
import java.util.stream.Collectors;
import meniscus.core.bench.Bench;
import meniscus.core.bench.HealthEntry;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.RungStands;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestEvent;
import meniscus.core.outlet.Fact;
import meniscus.core.steadiness.Verdict;
import meniscus.core.time.Moment;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.Schema;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Recovered;
import meniscus.recorder.record.Recorder;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is told of points that are taken back, taken again, and stand once more. */
class TestFactsTest {

  private static final UUID TEST = UUID.fromString("0b7f4f0e-6f3b-4c57-9f0d-2d1f6a9f7b11");
  private static final Instant BEGAN = Instant.parse("2031-05-06T07:08:09Z");

  @TempDir Path temp;

  private final List<Recovered.Entry> entries = new ArrayList<>();
  private double seconds;

  private void happens(TestEvent.What what) {
    entries.add(
        new Recovered.Entry(
            new TestEvent(Moment.START.plusSeconds(seconds++), 0, what), Optional.empty()));
  }

  private void keeps(int rung, int attempt) {
    Moment at = Moment.START.plusSeconds(seconds++);
    LiftPoint point =
        new LiftPoint(
            new LiftPoint.Taken(rung, attempt, 1, at, 1e-3 * rung, Sweep.OPENING, "large"),
            new LiftPoint.Flow(
                1e-4 * attempt,
                0.01 * attempt,
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                OptionalDouble.empty()),
            new LiftPoint.Setting(7000, true, OptionalDouble.empty(), OptionalDouble.empty()),
            new LiftPoint.Average(Verdict.STEADY, OptionalDouble.empty(), 2, 10, false),
            List.of(),
            List.of());
    entries.add(
        new Recovered.Entry(
            new TestEvent(at, 0, new TestEvent.Kept(rung, attempt)), Optional.of(point)));
  }

  private List<Fact> told(Set<String> before) throws IOException {
    Path files = Recorder.files(temp);
    SortedMap<String, byte[]> inHeader = new TreeMap<>();
    for (String name : List.of(Header.BENCH, Header.PLAN)) {
      inHeader.put(name, Files.readAllBytes(files.resolve(name)));
    }
    return TestFacts.ofJournal(
        new Recovered(
            temp.resolve("none"),
            1,
            1,
            Optional.of(new Header("Meniscus", BEGAN, List.of(), inHeader, Optional.of(TEST))),
            entries,
            0,
            0,
            Moment.START,
            List.of(),
            0,
            0,
            0),
        before::contains);
  }

  private static List<String> names(List<Fact> facts) {
    return facts.stream().map(fact -> fact.key().substring(TEST.toString().length() + 1)).toList();
  }

  @Test
  void aPointTakenBackIsUndoneAndOneThatStandsAgainIsKeptOnceMore() throws IOException {
    happens(new TestEvent.Segment(BEGAN.plusSeconds(5)));
    keeps(1, 1);
    happens(new TestEvent.Redone(1));
    happens(new TestEvent.Undone(1, RungStands.kept(1), TestEvent.Undone.Step.REDO));
    happens(new TestEvent.Redone(1));
    keeps(1, 2);
    happens(new TestEvent.Skipped(2));
    List<Fact> facts = told(Set.of());
    assertEquals(
        List.of("begun", "kept/1/1", "undone/1/1", "kept/1/1/2", "undone/1/1/2", "kept/1/2"),
        names(facts));
    assertEquals(BEGAN.plusSeconds(6), facts.get(1).at(), "by its segment's clock");
    for (Fact fact : facts) {
      assertEquals(List.of(), Schema.of("fact-1").complaints(FactJson.write(fact.at(1))));
    }
  }

  /** The rest of the same journal, after some of it was told. */
  @Test
  void whatWasToldIsNotToldAgainWhateverWasToldOfIt() throws IOException {
    happens(new TestEvent.Segment(BEGAN));
    keeps(1, 1);
    keeps(2, 1);
    Set<String> before = told(Set.of()).stream().map(Fact::key).collect(Collectors.toSet());
    happens(new TestEvent.Undone(2, RungStands.OPEN, TestEvent.Undone.Step.KEEP));
    keeps(2, 2);
    assertEquals(List.of("undone/2/1", "kept/2/2"), names(told(before)));
  }

  @Test
  void aPlateCheckIsToldOnceItsBenchIsKnown() throws IOException {
    String text = Files.readString(Recorder.files(temp).resolve("bench.json"));
    Bench nobody =
        BenchFile.parse("bench", text)
            .with(
                upkeep ->
                    upkeep.withHealth(
                        new HealthEntry(
                            BEGAN,
                            1,
                            HealthEntry.Kind.PLATE_CHECK,
                            "44",
                            Optional.empty(),
                            Optional.of("large"),
                            1.004,
                            1,
                            0.002,
                            OptionalDouble.of(0.01),
                            "")));
    assertEquals(List.of(), TestFacts.ofBench(nobody, key -> false));
    Bench known = nobody.as(nobody.identity().as(TEST, Set.of()));
    List<Fact> facts = TestFacts.ofBench(known, key -> false);
    assertEquals(List.of(Fact.Kind.PLATE_CHECKED), facts.stream().map(Fact::kind).toList());
    assertEquals(1.004, facts.get(0).numbers().get("flow_over_expected"));
    assertEquals(List.of(), Schema.of("fact-1").complaints(FactJson.write(facts.get(0).at(1))));
    assertTrue(TestFacts.ofBench(known, key -> true).isEmpty());
  }

  @Test
  void onlyANumberCountsAsAnAnswer() {
    assertEquals(7, FactJson.storedUpTo("{\"stored_up_to\": 7, \"since\": null}").orElseThrow());
    for (String none :
        List.of(
            "",
            "7",
            "{}",
            "{\"stored_up_to\": -1}",
            "{\"stored_up_to\": 7.5}",
            "{\"stored_up_to\": \"7\"}",
            "{\"stored_up_to\": 99999999999999999999}",
            "{\"stored_up_to\": 7".repeat(1000),
            new String(new byte[] {(byte) 0xff, 0}, StandardCharsets.ISO_8859_1))) {
      assertTrue(FactJson.storedUpTo(none).isEmpty(), none);
    }
  }
}
