package meniscus.recorder.file;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.IOException;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

/** Reader, schema and page know the same members. */
class MembersInStepTest {

  private static final int TRIES = 60;

  @Test
  void ofTheBenchFile() throws IOException {
    Set<String> asked = new TreeSet<>();
    for (long seed = 1; seed <= TRIES; seed++) {
      String text = BenchFile.text(new RandomBench(seed).bench());
      BenchFile.read(
          "seed " + seed,
          StrictJson.parse("bench", text),
          path -> asked.add(path.replace("element.base.", "element.")));
    }
    assertEquals(asked, Schema.of("bench-1").members());
    assertEquals(asked, Docs.members("bench-file.md"));
  }

  @Test
  void ofThePlan() throws IOException {
    Set<String> asked = new TreeSet<>();
    for (long seed = 1; seed <= TRIES; seed++) {
      String text = PlanFile.text(new RandomPlan(seed).plan());
      PlanFile.read("seed " + seed, StrictJson.parse("plan", text), asked::add);
    }
    assertEquals(asked, Schema.of("plan-1").members());
    assertEquals(asked, Docs.members("plan-file.md"));
  }
}
