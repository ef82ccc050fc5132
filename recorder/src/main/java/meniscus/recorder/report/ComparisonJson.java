package meniscus.recorder.report;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Difference;
import meniscus.core.compare.GainTurnsToLoss;
import meniscus.core.compare.LiftDifference;
import meniscus.core.compare.Outcome;
import meniscus.core.finding.Finding;
import meniscus.core.quantity.Unit;
import meniscus.recorder.json.JsonOut;

/** A comparison as the JSON of {@code compare --json}; docs/comparing.md says each member. */
public final class ComparisonJson {

  private static final ObjectMapper JSON = new ObjectMapper();

  private final Unit lift;
  private final Unit flow;

  private ComparisonJson(Comparison comparison) {
    this.lift = comparison.units().lift();
    this.flow = comparison.units().flow();
  }

  public static ObjectNode of(Comparison comparison) {
    return new ComparisonJson(comparison).tree(comparison);
  }

  private ObjectNode tree(Comparison comparison) {
    ObjectNode tree = JSON.createObjectNode();
    ObjectNode unit = tree.putObject("unit");
    unit.put("lift", lift.symbol()).put("flow", flow.symbol());
    tree.put("what_changed", Sentences.whatChanged(comparison));
    ObjectNode whole = tree.putObject("whole_curve");
    put(whole, comparison.mean());
    whole.put("changed_somewhere", comparison.changedSomewhere());
    whole.put("sentence", Sentences.average(comparison));
    GainTurnsToLoss.in(comparison)
        .ifPresent(
            turn -> {
              ObjectNode node = whole.putObject("gain_turns_to_loss");
              node.put("lift", lift.fromSi(turn.liftM()));
              node.put("low", lift.fromSi(turn.lowM())).put("high", lift.fromSi(turn.highM()));
            });
    ObjectNode margin = tree.putObject("margin");
    OptionalDouble asked = comparison.question().margin();
    margin.put("asked", asked.isPresent());
    if (asked.isPresent()) {
      margin.put("percent", 100 * asked.getAsDouble());
    }
    margin.put("resolution_percent", 100 * comparison.question().resolution());
    tree.put("scatter", comparison.scatter());
    ArrayNode lifts = tree.putArray("lifts");
    addLifts(lifts, comparison);
    ArrayNode findings = tree.putArray("findings");
    comparison.findings().forEach(finding -> add(findings, finding, lift));
    return tree;
  }

  /** Compared lifts and those left out, in the order of lift. */
  private void addLifts(ArrayNode lifts, Comparison comparison) {
    List<Comparison.LeftOut> left = comparison.left();
    int next = 0;
    for (LiftDifference each : comparison.lifts()) {
      while (next < left.size() && left.get(next).liftM() < each.liftM()) {
        add(lifts, left.get(next++));
      }
      ObjectNode node = lifts.addObject().put("lift", lift.fromSi(each.liftM()));
      put(node, each.difference());
      node.put("interpolated", each.interpolated());
    }
    while (next < left.size()) {
      add(lifts, left.get(next++));
    }
  }

  private void put(ObjectNode node, Difference d) {
    node.put("before", flow.fromSi(d.before()));
    node.put("after", flow.fromSi(d.after()));
    node.put("difference", flow.fromSi(d.estimate().value()));
    node.put("difference_percent", 100 * d.relative());
    node.put("u95", flow.fromSi(d.estimate().u95()));
    node.put("u95_percent", 100 * d.estimate().u95() / d.before());
    node.put("decided_by", flow.fromSi(d.decided().half()));
    node.put("decided_by_percent", 100 * d.relativeHalf());
    node.put("outcome", d.outcome().word());
    node.put("said", Sentences.detail(d));
    OptionalInt repeats = d.repeatsNeeded();
    node.put("repeats_needed", repeats.isPresent() ? (Integer) repeats.getAsInt() : null);
    node.put("margin", flow.fromSi(d.margin()));
    node.put("smallest_decidable", flow.fromSi(d.decidable()));
    node.put("scatter_known", d.scatterKnown());
  }

  private void add(ArrayNode lifts, Comparison.LeftOut left) {
    ObjectNode node = lifts.addObject().put("lift", lift.fromSi(left.liftM()));
    JsonOut.exact(node, "before", left.before(), flow);
    JsonOut.exact(node, "after", left.after(), flow);
    node.putNull("difference").putNull("difference_percent").putNull("u95");
    node.put("outcome", Outcome.CANNOT_TELL_YET.word());
    node.putNull("repeats_needed");
    node.put("reason", left.reason());
  }

  static void add(ArrayNode findings, Finding finding, Unit lift) {
    ObjectNode node = findings.addObject();
    node.put("kind", finding.kind().word());
    node.put("sentence", finding.sentence());
    JsonOut.array(node, "evidence", finding.evidence());
    node.put("next_step", finding.nextStep());
    JsonOut.array(node, "lifts", finding.liftsM().stream().map(l -> lift.fromSi(l)).toList());
  }
}
