package meniscus.recorder.demo;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.drivers.simulated.Scenario;
import meniscus.drivers.simulated.TrueLift;
import meniscus.recorder.file.WholeFile;

/** What the simulation knows: written down, so that anyone can hold the answers against it. */
final class DemoTruth {

  static final String FILE = "truth.json";

  /**
   * A change smaller than this is none when the simulation's truth is put into a word [1]: about
   * what one run a side can decide on a good bench.
   */
  private static final double NO_CHANGE = 0.01;

  private static final ObjectMapper JSON = new ObjectMapper();

  private DemoTruth() {}

  static ObjectNode object() {
    return JSON.createObjectNode();
  }

  /** Puts units and lifts of one step into an object. */
  static void put(ObjectNode truth, Plan plan, Scenario step) {
    List<Double> lifts = plan.ladder().stream().map(Rung::liftM).toList();
    Plan.Reference reference = plan.reference();
    truth.put("lift_unit", plan.units().lift().symbol());
    truth.put("flow_unit", plan.units().flow().symbol());
    ArrayNode rows = truth.putArray("lifts");
    for (TrueLift lift :
        TrueLift.ladder(
            step, lifts, plan.direction(), reference.testPressurePa(), reference.air())) {
      double change = lift.relativeDifference();
      rows.addObject()
          .put("lift", plan.units().lift().fromSi(lift.liftM()))
          .put("before", plan.units().flow().fromSi(lift.beforeM3PerS()))
          .put("after", plan.units().flow().fromSi(lift.afterM3PerS()))
          .put(
              "outcome",
              change > NO_CHANGE ? "gain" : change < -NO_CHANGE ? "loss" : "no real change");
    }
  }

  static void write(Path folder, ObjectNode truth) throws IOException {
    WholeFile.write(
        folder.resolve(FILE),
        JSON.writerWithDefaultPrettyPrinter().writeValueAsString(truth) + "\n");
  }
}
