package meniscus.recorder.report;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import meniscus.core.compare.PortsBeside;
import meniscus.core.lift.TestCurve;
import meniscus.recorder.json.JsonOut;

/** Ports beside each other for other programs; docs/comparing.md says each member. */
public final class PortsJson {

  private PortsJson() {}

  public static ObjectNode of(PortsBeside beside) {
    ObjectNode tree = JsonOut.object();
    ArrayNode ports = tree.putArray("ports");
    for (PortsBeside.Port port : beside.ports()) {
      JsonOut.array(
          ports.addObject().put("name", port.name()),
          "tests",
          port.tests().stream().map(TestCurve::name).toList());
    }
    JsonOut.list(
        tree,
        "pairs",
        beside.pairs(),
        (node, pair) -> {
          node.put("one", pair.one()).put("other", pair.other());
          node.set("comparison", ComparisonJson.of(pair.comparison()));
        });
    return tree;
  }
}
