package meniscus.recorder.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import meniscus.core.lift.EventText;
import meniscus.core.lift.LiftName;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.MessageWords;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.core.pipeline.RunState;
import meniscus.core.quantity.Digits;
import meniscus.core.quantity.Text;
import meniscus.core.quantity.Unit;
import meniscus.core.quantity.Value;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.session.SessionListener;

/** Shows a running test: one JSON object an event, or plain lines with one live line. */
final class RecordListener implements SessionListener {

  private static final int LIVE_WIDTH = 100;

  /** A line that stutters would bury all else. */
  private static final double REJECTS_EVERY_SECONDS = 30;

  private final Console console;
  private final Plan plan;
  private final MessageWords words;
  private final boolean json;
  private final boolean terminal;
  private boolean liveLine;
  private final Map<Integer, LiftPoint> told = new ConcurrentHashMap<>();
  private double plainAt = Double.NEGATIVE_INFINITY;
  private double rejectedAt = Double.NEGATIVE_INFINITY;
  private int rejectedSince;

  /**
   * @param json one JSON object an event
   * @param terminal standard error is a terminal: the live line is rewritten in place
   */
  RecordListener(Console console, Plan plan, boolean json, boolean terminal) {
    this.console = console;
    this.plan = plan;
    this.words = new MessageWords(plan);
    this.json = json;
    this.terminal = terminal;
  }

  @Override
  public void kept(LiftPoint point) {
    told.put(point.rung(), point);
    if (json) {
      console.json(pointJson("kept", point));
    } else {
      line(pointText(plan, "kept", point));
    }
  }

  /** The points as they were told when they were kept, by rung. */
  Map<Integer, LiftPoint> told() {
    return told;
  }

  @Override
  public void notSafeYet(LiftPoint point, String reason) {
    if (json) {
      console.json(pointJson("not_safe_yet", point).put("reason", reason));
    } else {
      line(
          "NOT SAFE YET: "
              + LiftName.of(plan, point.rung(), point.liftM())
              + " is held in memory: "
              + reason);
    }
  }

  @Override
  public void event(TestEvent event) {
    if (json) {
      if (event.kind() != TestEvent.Kind.KEPT) {
        console.json(
            object(event.kind().word())
                .put("moment_ns", event.moment().nanos())
                .put("detail", EventText.detail(event)));
      }
      return;
    }
    switch (event.kind()) {
      case REJECTED -> rejected(event);
      case LOST, BACK, CLOCK, STOPPED, REDO, SKIPPED, UNDONE, NOTE ->
          line(event.kind().word() + ": " + EventText.detail(event));
      default -> {
        // Segments and window bounds matter to the record, not to the operator.
      }
    }
  }

  /** The first is shown, then now and then how many there were. */
  private void rejected(TestEvent event) {
    double seconds = event.moment().seconds();
    if (seconds - rejectedAt < REJECTS_EVERY_SECONDS) {
      rejectedSince++;
      return;
    }
    String more = rejectedSince == 0 ? "" : " (and " + rejectedSince + " more since the last told)";
    line(event.kind().word() + ": " + EventText.detail(event) + more);
    rejectedAt = seconds;
    rejectedSince = 0;
  }

  @Override
  public void told(OperatorMessage message) {
    String sentence = words.sentence(message);
    if (json) {
      console.json(object(message.kind().word()).put("text", sentence));
    } else {
      line(sentence);
    }
  }

  @Override
  public void state(RunState state) {
    if (json || state.phase() == RunState.Phase.DONE) {
      return;
    }
    if (terminal) {
      String text = liveText(state);
      console.err().print("\r" + text + " ".repeat(Math.max(0, LIVE_WIDTH - text.length())));
      console.err().flush();
      liveLine = true;
    } else if (state.phase() == RunState.Phase.AVERAGING
        && state.average().seconds() - plainAt >= 5) {
      plainAt = state.average().seconds();
      console.warn(liveText(state));
    } else if (state.phase() != RunState.Phase.AVERAGING) {
      plainAt = 0;
    }
  }

  private String liveText(RunState state) {
    String rung = state.wanted().rung().map(wanted -> LiftName.of(plan, wanted)).orElse("");
    return Text.of(
        "%s  %s  flow %s ± %s %s  pressure %s  lift %s  %.0f s",
        rung,
        state
            .average()
            .judged()
            .map(judged -> judged.verdict().word())
            .orElse(state.phase().word()),
        number(state.average().flowM3PerS(), plan.units().flow(), 1),
        number(state.average().flowRepeatU95(), plan.units().flow(), 2),
        plan.units().flow().symbol(),
        Double.isNaN(state.live().pressure().value())
            ? "–"
            : Value.ofSi(state.live().pressure().value(), plan.units().pressure()).toString(2),
        Double.isNaN(state.live().lift().value()) ? "–" : lift(state.live().lift().value()),
        state.average().seconds());
  }

  static String pointText(Plan plan, String word, LiftPoint point) {
    double u95 = plan.units().flow().fromSi(point.flowU95().orElse(Double.NaN));
    return Text.of(
        "%s: %s: %s ± %s %s, %s, %.1f s%s",
        word,
        LiftName.of(plan, point.rung(), point.liftM()),
        Digits.value(plan.units().flow().fromSi(point.flowM3PerS()), u95),
        Double.isNaN(u95) ? "–" : Digits.uncertainty(u95),
        plan.units().flow().symbol(),
        point.verdict().word(),
        point.average().seconds(),
        point.pressureAsAsked() ? "" : ", short of test pressure");
  }

  private ObjectNode pointJson(String event, LiftPoint point) {
    ObjectNode json = object(event).put("rung", point.rung());
    json.put("lift", plan.units().lift().fromSi(point.liftM()));
    json.put("lift_unit", plan.units().lift().symbol());
    json.put("flow", plan.units().flow().fromSi(point.flowM3PerS()));
    JsonOut.exact(json, "flow_u95", point.flowU95(), plan.units().flow());
    JsonOut.exact(json, "flow_repeat_u95", point.flowRepeatU95(), plan.units().flow());
    json.put("flow_unit", plan.units().flow().symbol());
    json.put("test_pressure", plan.units().pressure().fromSi(point.testPressurePa()));
    json.put("pressure_unit", plan.units().pressure().symbol());
    json.put("effective_area_mm2", point.effectiveAreaM2() * 1e6);
    json.put("verdict", point.verdict().word());
    json.put("seconds", point.average().seconds());
    json.put("sweep", point.sweep().word());
    json.put("attempt", point.attempt());
    json.put("pressure_as_asked", point.pressureAsAsked());
    json.put("moment_ns", point.keptAt().nanos());
    return json;
  }

  private String lift(double metres) {
    return Value.ofSi(metres, plan.units().lift()).toString(3);
  }

  private static String number(double si, Unit unit, int decimals) {
    return Double.isNaN(si) ? "–" : Text.of("%." + decimals + "f", unit.fromSi(si));
  }

  private void line(String text) {
    if (liveLine) {
      console.err().print("\r" + " ".repeat(LIVE_WIDTH) + "\r");
      console.err().flush();
      liveLine = false;
    }
    console.say(text);
  }

  private static ObjectNode object(String event) {
    return JsonOut.object().put("event", event);
  }
}
