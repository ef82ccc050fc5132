package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Optional;
import meniscus.core.finding.InUnits;
import meniscus.core.flow.Direction;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.core.lift.Rung;
import meniscus.core.pipeline.Question;
import meniscus.core.pipeline.RunState;
import meniscus.core.quantity.Value;
import meniscus.core.remark.Remark;
import meniscus.core.remark.RemarkText;
import meniscus.core.steadiness.Judged;
import meniscus.core.steadiness.Switching;
import meniscus.recorder.archive.TestSummary;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.report.BesideShown;

/** A test as the page gets it: numbers in the plan's units, words as users read them. */
final class TestJson {

  private final Plan.Units units;

  TestJson(Plan.Units units) {
    this.units = units;
  }

  ObjectNode units() {
    return JsonOut.object()
        .put("lift", units.lift().symbol())
        .put("flow", units.flow().symbol())
        .put("pressure", units.pressure().symbol());
  }

  ObjectNode plan(Plan plan) {
    return plan(plan.part(), plan.port(), plan.direction(), TestSummary.Rungs.of(plan));
  }

  ObjectNode plan(Plan.Part part, PortKind port, Direction direction, TestSummary.Rungs rungs) {
    ObjectNode json = JsonOut.object();
    json.put("head", part.head()).put("chamber", part.chamber());
    json.put("port", part.port()).put("valve_job", part.valveJob());
    json.put("port_kind", port.word()).put("direction", direction.word());
    JsonOut.put(json, "test_pressure", rungs.testPressurePa(), units.pressure());
    json.put("aim_band", rungs.aimBand());
    JsonOut.put(json, "tolerance", rungs.toleranceM(), units.lift());
    json.put("target", rungs.target());
    json.put("longest_s", rungs.longestSeconds());
    json.put("rungs", rungs.count());
    return json;
  }

  ObjectNode state(RunState state) {
    ObjectNode json = JsonOut.object();
    RunState.Live live = state.live();
    JsonOut.put(json, "at", live.flow().seconds(), 1);
    json.put("phase", state.phase().word());
    Optional<Rung> wanted = state.wanted().rung();
    json.put("rung", wanted.map(Rung::number).orElse(null));
    JsonOut.put(json, "lift_asked", wanted.map(Rung::liftM).orElse(Double.NaN), units.lift());
    json.put("sweep", wanted.map(rung -> rung.sweep().word()).orElse(""));
    JsonOut.put(json, "aim", state.wanted().aimPa(), units.pressure());
    JsonOut.put(json, "pressure", live.pressure().value(), units.pressure());
    JsonOut.put(json, "lift", live.lift().value(), units.lift());
    JsonOut.put(json, "live_low", live.flow().lowM3PerS(), units.flow());
    JsonOut.put(json, "live", live.flow().meanM3PerS(), units.flow());
    JsonOut.put(json, "live_high", live.flow().highM3PerS(), units.flow());
    json.put("armed", state.wanted().armed());
    JsonOut.list(
        json,
        "by_eye",
        state.byEye(),
        (node, eye) ->
            node.put("channel", eye.channel().name())
                .put("unit", eye.channel().unit().symbol())
                .put("use", eye.use().word())
                .put("wanted", eye.wanted()));
    ArrayNode questions = json.putArray("questions");
    state.questions().forEach(question -> question(questions.addObject(), question));
    state.average().judged().ifPresent(judged -> judged(json, state.average(), judged));
    return json;
  }

  private void question(ObjectNode json, Question question) {
    json.put("kind", question.kind().word()).put("typed", question.typed());
    if (question.liftM().isPresent()) {
      double lift = question.liftM().getAsDouble();
      JsonOut.put(json, "lift", lift, units.lift());
      json.put("text", new InUnits(units).lift(lift));
    }
  }

  private void judged(ObjectNode json, RunState.Average average, Judged judged) {
    JsonOut.put(json, "flow", average.flowM3PerS(), units.flow());
    JsonOut.put(json, "flow_u95", average.flowRepeatU95(), units.flow());
    JsonOut.put(json, "seconds", average.seconds(), 1);
    JsonOut.put(json, "from", judged.mean().isPresent() ? judged.fromSeconds() : Double.NaN, 1);
    json.put("verdict", judged.verdict().word());
    JsonOut.put(json, "wait_s", judged.span().waitSeconds(), 1);
    json.put("precise", judged.precise()).put("decided", judged.decided());
    JsonOut.put(json, "unsteadiness", judged.unsteadiness().orElse(Double.NaN), 1);
    JsonOut.put(json, "seen_to_hz", judged.air().seenToHertz(), 1);
    JsonOut.array(json, "reasons", RemarkText.sentences(average.remarks()));
    if (judged.switching().isPresent() && judged.mean().isPresent()) {
      Switching levels = judged.switching().get();
      double flowPerArea = average.flowM3PerS() / judged.mean().getAsDouble();
      ObjectNode two = json.putObject("switching");
      JsonOut.put(two, "low", levels.low() * flowPerArea, units.flow());
      JsonOut.put(two, "high", levels.high() * flowPerArea, units.flow());
      JsonOut.put(two, "share_high", levels.shareHigh(), 1);
    }
  }

  /** The ladder: one object a rung, in order. */
  ObjectNode ladder(RunState state) {
    ObjectNode json = JsonOut.object();
    JsonOut.list(
        json,
        "rungs",
        state.marks(),
        (rung, mark) -> {
          rung.put("rung", mark.rung().number());
          JsonOut.put(rung, "lift", mark.rung().liftM(), units.lift());
          rung.put("sweep", mark.rung().sweep().word());
          JsonOut.put(rung, "own_pressure", mark.rung().testPressurePa(), units.pressure());
          rung.put("returns", mark.rung().returnRung());
          rung.put(
              "stands",
              mark.point().isPresent()
                  ? mark.point().get().doubtful() ? "doubtful" : "kept"
                  : mark.skipped() ? "skipped" : "open");
          mark.point().ifPresent(point -> rung.set("point", point(point)));
        });
    return json;
  }

  ObjectNode point(LiftPoint point) {
    ObjectNode json = JsonOut.object();
    json.put("rung", point.rung());
    JsonOut.put(json, "lift", point.liftM(), units.lift());
    JsonOut.put(json, "lift_read", point.setting().liftReadM(), units.lift());
    json.put("sweep", point.sweep().word());
    JsonOut.put(json, "flow", point.flowM3PerS(), units.flow());
    JsonOut.put(json, "flow_u95", point.flowU95(), units.flow());
    JsonOut.put(json, "flow_repeat_u95", point.flowRepeatU95(), units.flow());
    JsonOut.put(json, "test_pressure", point.testPressurePa(), units.pressure());
    json.put("pressure_as_asked", point.pressureAsAsked());
    json.put("verdict", point.verdict().word());
    json.put("doubtful", point.doubtful());
    JsonOut.put(json, "unsteadiness", point.unsteadiness().orElse(Double.NaN), 1);
    JsonOut.put(json, "seconds", point.average().seconds(), 1);
    JsonOut.put(json, "effective_samples", point.average().effectiveSamples(), 1);
    JsonOut.put(json, "cd_curtain", point.flow().cdCurtain().orElse(Double.NaN), 1);
    JsonOut.put(json, "effective_area_mm2", point.effectiveAreaM2(), 1e6);
    json.put("attempt", point.attempt());
    point.remarks().stream()
        .filter(remark -> remark.kind() == Remark.Kind.JUMPS && remark.numbers().size() >= 3)
        .findFirst()
        .ifPresent(jumps -> levels(json.putObject("levels"), point, jumps.numbers()));
    JsonOut.array(json, "remarks", point.remarkSentences());
    return json;
  }

  /** Both levels of a flow that jumps, from what is remarked: % of the mean, share of the upper. */
  private void levels(ObjectNode json, LiftPoint point, List<Double> numbers) {
    double flow = point.flowM3PerS();
    JsonOut.put(json, "low", flow * (1 + numbers.get(0) / 100), units.flow());
    JsonOut.put(json, "high", flow * (1 + numbers.get(1) / 100), units.flow());
    JsonOut.put(json, "share_high", numbers.get(2), 0.01);
  }

  /** What was measured beside the flow, as tables of text; empty for most tests. */
  ArrayNode beside(List<LiftPoint> points) {
    ArrayNode tables = JsonOut.object().arrayNode();
    for (BesideShown.Table table : BesideShown.tables(points, units)) {
      ObjectNode json = tables.addObject().put("title", table.title());
      JsonOut.array(json, "columns", table.columns());
      ArrayNode rows = json.putArray("rows");
      for (List<String> row : table.rows()) {
        ArrayNode cells = rows.addArray();
        row.forEach(cells::add);
      }
    }
    return tables;
  }

  /** What is said on the flash when a point is kept. */
  String sentence(LiftPoint point) {
    return Value.ofSi(point.liftM(), units.lift()).toString(3)
        + ": "
        + Value.ofSi(point.flowM3PerS(), units.flow()).toString(1)
        + ", "
        + point.verdict().word();
  }
}
