package meniscus.recorder.file;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import meniscus.core.bench.Bench;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.UnitSystem;
import meniscus.core.quantity.Value;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is written reads back as the very same value, in inches and metric. */
class RoundTripTest {

  private static final int TRIES = 80;

  /** How many of them the schema's validator, the slow part, sees. */
  private static final int JUDGED = 20;

  @TempDir Path folder;

  @Test
  void benches() {
    Schema schema = Schema.of("bench-1");
    for (long seed = 1; seed <= TRIES; seed++) {
      Bench bench = new RandomBench(seed).bench();
      String text = BenchFile.text(bench);
      assertEquals(bench, BenchFile.parse("seed " + seed, text), "seed " + seed);
      if (seed <= JUDGED) {
        assertEquals(List.of(), schema.complaints(text), () -> text);
      }
    }
  }

  @Test
  void plans() {
    Schema schema = Schema.of("plan-1");
    for (long seed = 1; seed <= TRIES; seed++) {
      Plan plan = new RandomPlan(seed).plan();
      String text = PlanFile.text(plan);
      assertEquals(plan, PlanFile.parse("seed " + seed, text), "seed " + seed);
      if (seed <= JUDGED) {
        assertEquals(List.of(), schema.complaints(text), () -> text);
      }
    }
  }

  @Test
  void quantitiesOfEveryKind() {
    Random random = new Random(7);
    for (Dimension dimension : Dimension.values()) {
      for (int i = 0; i < 60; i++) {
        double si = random.nextGaussian() * Math.pow(10, random.nextInt(14) - 8);
        for (UnitSystem owner : UnitSystem.values()) {
          assertEquals(si, Value.si(QuantityText.of(si, dimension, owner), dimension));
        }
      }
    }
  }

  @Test
  void filesAreReplacedWholeAndLeaveNothingBehind() throws IOException {
    Path file = folder.resolve("deep").resolve("bench.json");
    Bench first = new RandomBench(1).bench();
    Bench second = new RandomBench(2).bench();
    BenchFile.write(file, first);
    assertEquals(first, BenchFile.read(file));
    BenchFile.write(file, second);
    assertEquals(second, BenchFile.read(file));
    Path plan = folder.resolve("deep").resolve("plan.json");
    PlanFile.write(plan, new RandomPlan(1).plan());
    assertEquals(new RandomPlan(1).plan(), PlanFile.read(plan));
    try (var files = Files.list(folder.resolve("deep"))) {
      assertEquals(
          List.of("bench.json", "plan.json"),
          files.map(each -> each.getFileName().toString()).sorted().toList());
    }
  }

  @Test
  void byteOrderMarkOfAnEditorIsPassedOver() throws IOException {
    Path file = folder.resolve("plan.json");
    Files.writeString(file, "\uFEFF" + PlanFile.text(new RandomPlan(3).plan()));
    assertEquals(new RandomPlan(3).plan(), PlanFile.read(file));
    assertTrue(Files.size(file) > 100);
  }
}
