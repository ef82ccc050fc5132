package meniscus.recorder.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import meniscus.core.compare.Decided;
import meniscus.core.compare.Difference;
import meniscus.core.compare.Outcome;
import meniscus.core.decide.Estimate;
import meniscus.core.lift.Amount;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Unit;
import meniscus.recorder.cli.Called;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What people read, sentence by sentence. */
class SaidTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");

  @TempDir private Path temp;

  private static Difference open(OptionalInt repeats) {
    return new Difference(
        0.1,
        0.1005,
        new Estimate(0.0005, 0.0004, 20),
        true,
        0.001,
        0.001,
        new Decided(Outcome.CANNOT_TELL_YET, 0.001, Decided.Withheld.NO, repeats));
  }

  @Test
  void nobodyIsAskedForMoreThanFiveFurtherRuns() {
    assertEquals(
        "1 more run of each side to settle it", Sentences.repeats(open(OptionalInt.of(1))));
    assertEquals(
        "5 more runs of each side to settle it", Sentences.repeats(open(OptionalInt.of(5))));
    String six = Sentences.repeats(open(OptionalInt.of(6)));
    assertTrue(six.startsWith("repeats will not settle it on this bench"), six);
    for (String would : List.of("margin", "longer average", "finer lift gauge")) {
      assertTrue(six.contains(would), six);
    }
    assertEquals("repeats alone would not settle it", Sentences.repeats(open(OptionalInt.empty())));
  }

  /** 44.0 and 44.8 mm are 1.732 and 1.764 in: beside those the difference is 0.032, not 0.0315. */
  @Test
  void theThreeNumbersOfAChangeAgree() {
    Plan.ChangeNote note =
        new Plan.ChangeNote(
            "blended the bowl",
            "",
            Optional.of(Amount.of("44.0 mm")),
            Optional.of(Amount.of("44.8 mm")),
            Optional.empty(),
            Optional.empty());
    assertEquals(
        "blended the bowl: from 1.732 in to 1.764 in, +0.032 in",
        ChangeWords.of(note, Unit.INCH_LENGTH));
    assertEquals(
        "blended the bowl: from 44.00 mm to 44.80 mm, +0.80 mm",
        ChangeWords.of(note, Unit.MILLIMETRE));
    assertEquals(
        OptionalDouble.of(44.8e-3 - 44.0e-3), ChangeWords.difference(note), "programs get it all");
  }

  @Test
  void theCautionsNameWhatSteadyFlowDoesNotSay() {
    Markup out = new Markup();
    Cautions.write(out);
    for (String caution :
        List.of(
            "leaves it choked",
            "a bench at 28 inH2O says nothing of that part",
            "belongs to its pressure ratio",
            "cost swirl or tumble",
            "a larger port is a slower one",
            "Lifts above what the cam gives",
            "The engine maker&#39;s limits")) {
      assertTrue(out.toString().contains(caution), caution);
    }
  }

  @Test
  void plainNamesSayWhatTheOldOnesSay() throws IOException {
    InventedBench bench = new InventedBench(3, InventedBench.Errors.USUAL);
    Path before = folder(bench, "before", 1);
    Path after = folder(bench, "after", 1.05);
    String plain = compared(before, after, "--although");
    assertEquals(compared(before, after, "--despite"), plain);
    assertFalse(plain.isBlank());
    assertEquals(0, Called.with("note", after, "--made-from", "before").code());
    String made = Called.with("report", "--history", temp, "--json").out();
    assertEquals(0, Called.with("note", after, "--follows", "before").code());
    assertEquals(Called.with("report", "--history", temp, "--json").out(), made);
  }

  private static String compared(Path before, Path after, String option) {
    Called called =
        Called.with("compare", before, "--after", after, option, "shown to be alike", "--json");
    assertEquals(0, called.code(), called.err());
    return called.out();
  }

  private Path folder(InventedBench bench, String name, double factor) throws IOException {
    return InventedFolders.write(
        temp.resolve(name), bench.run(name, Optional.empty(), lift -> factor), true, DAY);
  }
}
