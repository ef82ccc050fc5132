package meniscus.recorder.report;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import meniscus.core.compare.PortsBeside;
import meniscus.core.lift.TestCurve;

/** Ports beside each other for other programs; docs/comparing.md says each member. */
public final class PortsJson {

  private PortsJson() {}

  public static ObjectNode of(PortsBeside beside) {
    ObjectNode tree = JsonNodeFactory.instance.objectNode();
    ArrayNode ports = tree.putArray("ports");
    for (PortsBeside.Port port : beside.ports()) {
      ArrayNode tests = ports.addObject().put("name", port.name()).putArray("tests");
      port.tests().stream().map(TestCurve::name).forEach(tests::add);
    }
    ArrayNode pairs = tree.putArray("pairs");
    for (PortsBeside.Pair pair : beside.pairs()) {
      ObjectNode node = pairs.addObject().put("one", pair.one()).put("other", pair.other());
      node.set("comparison", ComparisonJson.of(pair.comparison()));
    }
    return tree;
  }
}
