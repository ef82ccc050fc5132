package meniscus.recorder.report;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import meniscus.core.compare.Aims;
import meniscus.core.compare.Bests;
import meniscus.core.compare.Expected;
import meniscus.core.compare.FindingThread;
import meniscus.core.compare.History.State;
import meniscus.core.compare.Outcome;
import meniscus.core.compare.Series;
import meniscus.core.decide.Estimate;
import meniscus.core.lift.Plan;
import meniscus.recorder.json.JsonOut;

/** What histories teach, for other programs; docs/records.md says each member. */
final class LessonsJson {

  private LessonsJson() {}

  static void add(ObjectNode node, PortHistory port, Ahead ahead) {
    Plan.Units units = port.plan().units();
    node.put("flow_unit", units.flow().symbol());
    Bests bests = Bests.of(port.history());
    ArrayNode lifts = node.putArray("best_at_lifts");
    bests.lifts().forEach(best -> add(lifts.addObject(), best, port));
    if (bests.peak().isPresent()) {
      add(node.putObject("highest_flow"), bests.peak().get(), port);
    } else {
      node.putNull("highest_flow");
    }
    ArrayNode findings = node.putArray("findings");
    for (FindingThread thread : FindingThread.of(port.history())) {
      JsonOut.list(
          findings.addObject().put("kind", thread.kind().word()),
          "stages",
          thread.stages(),
          (one, stage) -> {
            one.put("state", stage.state().name());
            JsonOut.array(
                one.put("found", stage.found()),
                "lifts",
                stage.liftsM().stream().map(lift -> units.lift().fromSi(lift)).toList());
          });
    }
    ahead.series().ifPresent(series -> add(node.putObject("series"), series, port));
    ahead.aims().ifPresent(aims -> add(node.putArray("aims"), aims, port));
  }

  private static void add(ObjectNode node, Bests.Best best, PortHistory port) {
    Plan.Units units = port.plan().units();
    TestRead test = port.testsOf(best.state()).get(0);
    node.put("lift", units.lift().fromSi(best.liftM()));
    node.put("flow", units.flow().fromSi(best.flow().flowM3PerS()));
    node.put("state", best.state().name());
    node.put("test", test.curve().name()).put("at", test.at().toString());
    node.put("next", best.next().map(next -> next.state().name()).orElse(null));
    node.put("told_apart", best.next().map(Bests.Next::toldApart).orElse(null));
  }

  private static void add(ObjectNode node, Series series, PortHistory port) {
    JsonOut.list(
        node.put("name", series.name()),
        "states",
        series.against(port.history()),
        (one, standing) -> {
          one.put("name", standing.planned().name());
          one.put("reached", standing.reached().map(State::name).orElse(null));
          JsonOut.array(
              one,
              "changes",
              standing.planned().changes().stream().map(note -> note.what()).toList());
        });
    JsonOut.array(
        node,
        "not_planned",
        series.unplanned(port.history()).stream().map(state -> state.name()).toList());
  }

  private static void add(ArrayNode list, Aims aims, PortHistory port) {
    Plan.Units units = port.plan().units();
    TestRead newest = port.tests().get(port.tests().size() - 1);
    for (Aims.Held held : aims.against(newest.curve())) {
      ObjectNode one = list.addObject().put("lift", units.lift().fromSi(held.liftM()));
      one.put("aim", units.flow().fromSi(held.aimed())).put("test", newest.curve().name());
      if (held.flow().isPresent()) {
        one.put("flow", units.flow().fromSi(held.flow().getAsDouble()));
        one.put("decided_by", held.half() / units.flow().factor());
      } else {
        one.putNull("flow").putNull("decided_by");
      }
      one.put("interpolated", held.interpolated()).put("stands", held.stands().word());
    }
  }

  static void add(ObjectNode tree, List<PortHistory> ports) {
    JsonOut.list(
        tree,
        "change_kinds",
        Lessons.kinds(ports, PortHistory::heading),
        (one, kind) -> {
          one.put("what", kind.what());
          for (Outcome outcome : Outcome.values()) {
            one.put(outcome.word().replace(' ', '_'), kind.times(outcome));
          }
          one.put("typical_percent", kind.typical().map(e -> 100 * e.value()).orElse(null));
          one.put(
              "typical_u95_percent",
              kind.typical().map(Estimate::u95).map(u -> 100 * u).orElse(null));
          JsonOut.list(
              one,
              "done",
              kind.done(),
              (step, each) -> {
                step.put("port", each.port());
                step.put("state", each.state().name()).put("alone", each.alone());
                step.put("outcome", each.step().map(c -> c.mean().outcome().word()).orElse(null));
                step.put(
                    "average_percent",
                    each.step().map(c -> 100 * c.mean().relative()).orElse(null));
              });
        });
    ArrayNode expectations = tree.putArray("expectations");
    int[] score = new int[Expected.Came.values().length];
    for (Lessons.Held held : Lessons.held(ports)) {
      Expected expected = held.expected();
      score[expected.came().ordinal()]++;
      ObjectNode one = expectations.addObject().put("at", held.at().toString());
      one.put("port", held.port().heading()).put("state", held.state().name());
      one.put("what", expected.change().what());
      one.put("expected", expected.expect().effect().word());
      one.put("from_lift", held.port().plan().units().lift().fromSi(expected.expect().fromLiftM()));
      one.put("came", expected.came().word());
    }
    ObjectNode counts = tree.putObject("score");
    for (Expected.Came came : Expected.Came.values()) {
      counts.put(came.word().replace(' ', '_'), score[came.ordinal()]);
    }
  }
}
