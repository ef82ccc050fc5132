package meniscus.recorder.report;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Optional;
import meniscus.core.compare.CamFlow;
import meniscus.core.compare.CurveSummary;
import meniscus.core.decide.Estimate;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Unit;
import meniscus.recorder.json.JsonOut;

/** A curve in a few numbers, each with its 95 % half-width, for other programs. */
public final class SummaryJson {

  private SummaryJson() {}

  public static ObjectNode of(TestCurve test, Optional<CamFlow.Cam> cam) {
    Unit flow = test.plan().units().flow();
    ObjectNode tree = JsonOut.object();
    tree.put("test", test.name()).put("flow_unit", flow.symbol());
    CurveSummary.of(test)
        .ifPresent(
            s -> {
              put(tree, "mean_flow", s.meanFlow(), flow.factor());
              put(tree, "highest_flow", s.highestFlow(), flow.factor());
              put(tree, "flow_per_valve_area_m_per_s", s.flowPerValveArea(), 1);
              s.velocityAtHighestFlow()
                  .ifPresent(v -> put(tree, "velocity_at_smallest_area_m_per_s", v, 1));
            });
    cam.ifPresent(
        c -> {
          CamFlow through = CamFlow.of(test, c);
          put(tree, "flow_through_cam", through.meanFlow(), flow.factor());
          tree.put("cam_open_degrees", through.openDegrees());
        });
    return tree;
  }

  private static void put(ObjectNode tree, String name, Estimate e, double factor) {
    tree.put(name, e.value() / factor).put(name + "_u95", e.u95() / factor);
  }
}
