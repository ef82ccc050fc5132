package meniscus.recorder.report;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import meniscus.core.compare.History.Best;
import meniscus.core.compare.History.State;
import meniscus.core.compare.Overall;
import meniscus.core.compare.WhatNext;
import meniscus.core.lift.Amount;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestCurve;
import meniscus.core.quantity.Unit;
import meniscus.recorder.json.JsonOut;

/** Histories for other programs; docs/records.md says each member. */
public final class HistoryJson {

  private HistoryJson() {}

  public static ObjectNode of(List<PortHistory> ports, Ahead ahead) {
    ObjectNode tree = JsonOut.object();
    ArrayNode list = tree.putArray("ports");
    ports.forEach(
        port -> {
          ObjectNode node = list.addObject();
          add(node, port);
          LessonsJson.add(node, port, ahead);
        });
    LessonsJson.add(tree, ports);
    next(tree.putArray("next"), ports);
    return tree;
  }

  private static void next(ArrayNode list, List<PortHistory> ports) {
    for (WhatNext next : PortHistory.next(ports)) {
      ObjectNode one = list.addObject().put("port", next.port().name());
      one.put("state", next.port().now().name());
      one.put("last_change", next.last().map(Overall::word).orElse(null));
      one.put("suspicion", next.suspicion().map(found -> found.kind().word()).orElse(null));
      JsonOut.array(
          one, "not_done_here", next.untried().stream().map(change -> change.what()).toList());
      one.put("said", NextWords.of(next));
    }
  }

  private static void add(ObjectNode node, PortHistory port) {
    Plan.Part part = port.plan().part();
    Unit lift = port.plan().units().lift();
    node.put("head", part.head()).put("chamber", part.chamber()).put("port", part.port());
    node.put("customer_reference", part.customerReference());
    node.put("port_kind", port.plan().port().word()).put("length_unit", lift.symbol());
    node.put("best", port.history().best().map(best -> best.state().name()).orElse(null));
    node.put("best_told_apart", port.history().best().map(Best::toldApart).orElse(null));
    node.put("best_said", port.best().orElse(null));
    JsonOut.array(
        node,
        "follow_ups",
        port.history().followUps().stream().map(found -> found.sentence()).toList());
    ArrayNode states = node.putArray("states");
    for (State state : port.history().states()) {
      ObjectNode one = states.addObject().put("name", state.name());
      one.put(
          "from",
          state.parent().isPresent()
              ? port.history().states().get(state.parent().getAsInt()).name()
              : null);
      one.put("since", port.testsOf(state).get(0).at().toString());
      JsonOut.array(one, "tests", state.tests().stream().map(TestCurve::name).toList());
      ArrayNode changes = one.putArray("changes");
      state.changes().forEach(change -> add(changes.addObject(), change, lift));
      one.set("step", state.step().map(ComparisonJson::of).orElse(null));
      one.set("total", state.total().map(ComparisonJson::of).orElse(null));
    }
  }

  private static void add(ObjectNode node, Plan.ChangeNote change, Unit unit) {
    node.put("what", change.what()).put("where", change.where());
    node.put("before_text", change.before().map(Amount::text).orElse(null));
    node.put("after_text", change.after().map(Amount::text).orElse(null));
    JsonOut.exact(node, "before", change.beforeM(), unit);
    JsonOut.exact(node, "after", change.afterM(), unit);
    JsonOut.exact(node, "difference", ChangeWords.difference(change), unit);
  }
}
