package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.DoubleStream;
import meniscus.core.air.AirState;
import meniscus.core.flow.Direction;
import meniscus.drivers.simulated.Scenario;
import meniscus.drivers.simulated.TrueLift;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Whole runs on the simulated bench: the simulation's truth lies inside the interval of the flow,
 * all sources counted. The simulation has its own equations, so this holds bench file, main path
 * and budget against something else.
 */
@Tag("long")
class TruthTest {

  private static final double[] LIFTS_IN = {0.1, 0.15, 0.25, 0.35};
  private static final double INCH_M = 0.0254;
  private static final double INCH_OF_WATER_PA = 249.08891;
  private static final double CUBIC_FOOT_PER_MINUTE = Math.pow(0.3048, 3) / 60;

  @TempDir Path temp;

  private int points;
  private int inside;
  private double worst;

  @Test
  void uncalibratedTheTruthLiesInsideTheIntervals() throws IOException {
    List<Double> lifts = DoubleStream.of(LIFTS_IN).map(lift -> lift * INCH_M).boxed().toList();
    List<Double> truth =
        TrueLift.ladder(
                Scenario.demo(),
                lifts,
                Direction.SUCTION,
                28 * INCH_OF_WATER_PA,
                new AirState(293.15, 101_325, 0))
            .stream()
            .map(lift -> lift.beforeM3PerS() / CUBIC_FOOT_PER_MINUTE)
            .toList();
    Path files = Recorder.files(temp);
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.1, 0.15, 0.25, 0.35]");
    runs(files, truth, 6);
  }

  /** The bench and plan of the demo, calibrated by it, against the truth that it wrote. */
  @Test
  @Tag("bench")
  void calibratedTheTruthLiesInsideTheIntervalsOfTwoHundredPoints() throws IOException {
    Path demo = temp.resolve("demo");
    assertEquals(0, Recorder.run("", "demo", "--quick", "--out", demo).exitCode());
    List<Double> truth = new ArrayList<>();
    Recorder.json(Files.readString(demo.resolve("truth.json")))
        .get("lifts")
        .forEach(lift -> truth.add(lift.get("before").asDouble()));
    runs(demo, truth, (200 + truth.size() - 1) / truth.size());
  }

  private void runs(Path files, List<Double> truth, int seeds) {
    for (int seed = 1; seed <= seeds; seed++) {
      Ran ran =
          Recorder.record(files, temp.resolve("out" + seed), "", "--hands-free", "--seed", seed);
      assertEquals(truth.size(), ran.events("kept").size(), ran.err());
      for (JsonNode kept : ran.events("kept")) {
        double flow = kept.get("flow").asDouble();
        double u95 = kept.get("flow_u95").asDouble();
        assertTrue(u95 > 0 && u95 < 0.2 * flow, "an interval that says something: " + kept);
        double off = Math.abs(flow - truth.get(kept.get("rung").asInt() - 1)) / u95;
        worst = Math.max(worst, off);
        points++;
        inside += off <= 1 ? 1 : 0;
      }
    }
    String found =
        String.format(
            Locale.ROOT,
            "%d of %d points have the truth inside u95, the worst is %.2f half-widths off",
            inside,
            points,
            worst);
    System.out.println(found + " (seeds 1 to " + seeds + ")");
    assertTrue(inside >= 0.9 * points, found);
  }
}
