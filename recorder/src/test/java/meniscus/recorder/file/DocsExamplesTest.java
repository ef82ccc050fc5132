package meniscus.recorder.file;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.util.List;
import meniscus.core.bench.Bench;
import meniscus.core.lift.Plan;
import org.junit.jupiter.api.Test;

class DocsExamplesTest {

  @Test
  void everyBenchExampleIsAcceptedAndReadsBackTheSame() throws IOException {
    List<String> examples = Docs.wholeExamples("bench-file.md");
    assertEquals(2, examples.size());
    for (String example : examples) {
      Bench bench = BenchFile.parse("example", example);
      assertEquals(bench, BenchFile.parse("written", BenchFile.text(bench)));
    }
  }

  @Test
  void everyPlanExampleIsAcceptedAndReadsBackTheSame() throws IOException {
    List<String> examples = Docs.wholeExamples("plan-file.md");
    assertEquals(3, examples.size());
    for (String example : examples) {
      Plan plan = PlanFile.parse("example", example);
      assertEquals(plan, PlanFile.parse("written", PlanFile.text(plan)));
    }
  }

  @Test
  void chartInThePageIsAnElement() throws IOException {
    String chart =
        Docs.examples("bench-file.md").stream()
            .filter(text -> text.contains("\"chart\""))
            .findFirst()
            .orElseThrow();
    ObjectReader members = new ObjectReader("chart", StrictJson.parse("chart", chart), asked -> {});
    assertTrue(ElementForm.read(members).covers(300));
  }

  /** What an owner typed stays as it was typed. */
  @Test
  void writingKeepsTheOwnersUnits() throws IOException {
    Bench bench = BenchFile.parse("example", Docs.wholeExamples("bench-file.md").get(0));
    String written = BenchFile.text(bench);
    for (String typed :
        List.of(
            "\"-40 inH2O\"",
            "\"1.5 in\"",
            "\"0.9 degF\"",
            "\"122 degF\"",
            "\"9.5 ft3\"",
            "\"620 ft\"",
            "\"0.1 %\"",
            "\"0.04 s\"",
            "\"24 inHg\"")) {
      assertTrue(written.contains(typed), typed + " is missing in\n" + written);
    }
  }
}
