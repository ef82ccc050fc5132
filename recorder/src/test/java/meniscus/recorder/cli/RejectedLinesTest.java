package meniscus.recorder.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayOutputStream;
import java.io.InputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.time.InstantSource;
import java.util.List;
import meniscus.core.lift.TestEvent;
import meniscus.core.time.Moment;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.file.PlanFile;
import org.junit.jupiter.api.Test;

/** A line that stutters does not bury all else on the terminal. */
class RejectedLinesTest {

  private static final String PLAN =
      """
      {"meniscus": "plan/1", "part": {"head": "made up", "port": "1"}, "port_kind": "intake",
       "direction": "suction", "units": "metric", "test_pressure": "7 kPa",
       "set_up": {"valve_heads": ["45 mm"]}, "ladder": {"lifts": ["3 mm"]}}
      """;

  private final ByteArrayOutputStream out = new ByteArrayOutputStream();

  private RecordListener listener(boolean json) {
    PrintStream stream = new PrintStream(out, true, StandardCharsets.UTF_8);
    return new RecordListener(
        new Console(stream, stream, InputStream.nullInputStream(), InstantSource.system()),
        PlanFile.parse("plan.json", PLAN),
        json,
        false);
  }

  private List<String> said(RecordListener listener) {
    for (int i = 0; i < 160; i++) {
      listener.event(
          new TestEvent(
              Moment.ofSeconds(0.25 * i),
              i,
              new TestEvent.Said(TestEvent.Kind.REJECTED, "gauge: no number: #" + i)));
    }
    return out.toString(StandardCharsets.UTF_8).lines().toList();
  }

  @Test
  void theFirstIsShownThenNowAndThenHowManyThereWere() {
    List<String> lines = said(listener(false));
    assertEquals(2, lines.size(), lines.toString());
    assertEquals("rejected: gauge: no number: #0", lines.get(0));
    assertTrue(lines.get(1).endsWith("#120 (and 119 more since the last told)"), lines.get(1));
  }

  @Test
  void anotherProgramIsGivenEveryOne() {
    assertEquals(160, said(listener(true)).size());
  }
}
