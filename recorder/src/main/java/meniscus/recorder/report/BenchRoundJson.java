package meniscus.recorder.report;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import meniscus.core.compare.BenchRound;
import meniscus.core.quantity.Unit;
import meniscus.core.roundrobin.RoundRobin;
import meniscus.recorder.json.JsonOut;

/** One head on several benches for other programs; docs/many-benches.md says each member. */
public final class BenchRoundJson {

  private BenchRoundJson() {}

  public static ObjectNode of(BenchRound round) {
    Unit lift = round.units().lift();
    Unit flow = round.units().flow();
    ObjectNode tree = JsonOut.object();
    tree.putObject("unit").put("lift", lift.symbol()).put("flow", flow.symbol());
    tree.put("pilot", round.mean().benches().get(0).bench());
    add(tree.putObject("mean"), round.mean(), flow);
    ArrayNode lifts = tree.putArray("lifts");
    for (BenchRound.AtLift at : round.lifts()) {
      add(lifts.addObject().put("lift", lift.fromSi(at.liftM())), at.found(), flow);
    }
    JsonOut.list(
        tree,
        "look",
        round.look(),
        (node, one) -> {
          node.put("bench", one.bench()).put("goes", one.goes().word());
          JsonOut.array(node, "lifts", one.liftsM().stream().map(at -> lift.fromSi(at)).toList());
          JsonOut.array(node, "sources", one.sources());
        });
    JsonOut.array(tree, "repeatability_unknown", round.unknownRefit());
    ArrayNode findings = tree.putArray("findings");
    round.findings().forEach(finding -> ComparisonJson.add(findings, finding, lift));
    return tree;
  }

  private static void add(ObjectNode node, RoundRobin found, Unit flow) {
    double reference = found.reference().value();
    node.put("reference", flow.fromSi(reference));
    node.put("reference_u95", flow.fromSi(found.reference().u95()));
    node.put("left_over", flow.fromSi(found.left().standardDeviation()));
    node.put("q", found.left().q()).put("chance", found.left().chance());
    if (found.drift().isPresent()) {
      node.put("drift", flow.fromSi(found.drift().get().value()));
      node.put("drift_u95", flow.fromSi(found.drift().get().u95()));
    } else {
      node.putNull("drift").putNull("drift_u95");
    }
    JsonOut.list(
        node,
        "benches",
        found.benches(),
        (row, one) ->
            row.put("bench", one.bench())
                .put("value", flow.fromSi(one.value()))
                .put("difference", flow.fromSi(one.difference().value()))
                .put("u95", flow.fromSi(one.difference().u95()))
                .put("difference_percent", 100 * one.difference().value() / reference)
                .put("u95_percent", 100 * one.difference().u95() / reference)
                .put("stands_out", one.standsOut()));
  }
}
