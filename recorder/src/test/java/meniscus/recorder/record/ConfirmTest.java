package meniscus.recorder.record;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.IntStream;
import meniscus.recorder.record.Recorder.Ran;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A suspicion confirmed while the head is on the simulated bench, and what the folder says. */
@Tag("long")
class ConfirmTest {

  @TempDir Path temp;

  /**
   * On a bench that was tried for leaks both ways: the short side of this port is one drawn, and
   * none blown.
   */
  @Test
  void itsPointsStandInTheSameFolderAndItsRungsAreMarked() throws IOException {
    Path files = Recorder.files(temp);
    blows(files);
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.45, 0.55, 0.6]");
    Path out = temp.resolve("tests").resolve("intake-1");
    Ran ran =
        Recorder.record(
            files, out, "confirm 0.600 in\n", "--hands-free", "--head", "gradual-stall");
    assertTrue(ran.exitCode() == 0 || ran.exitCode() == 5, ran.err());
    List<Integer> all = IntStream.rangeClosed(1, 28).boxed().toList();
    assertEquals(all, ran.keptRungs());

    JsonNode ladder =
        Recorder.json(Files.readString(out.resolve("plan.json"))).get("ladder").get("rungs");
    assertEquals(28, ladder.size());
    assertTrue(ladder.get(3).get("confirm").asBoolean());
    assertEquals("other_way", ladder.get(27).get("sweep").asText());
    assertTrue(ladder.get(2).path("confirm").isMissingNode());
    assertEquals(28, Recorder.flows(out).size());
    assertEquals(0, Recorder.run("", "recompute", out).exitCode());
    String events = Files.readString(out.resolve("events.csv"));
    assertTrue(events.contains("confirm,"), events);

    assertEquals(
        2, events.split("seat,read_m=", -1).length - 1, "read on the seat twice: " + events);
    Path report = temp.resolve("report.html");
    Recorder.run("", "report", out, "--out", report);
    String page = Files.readString(report);
    assertTrue(page.contains("Pressure sweep at 0.600 in"), "the report tells the answer");
    assertTrue(page.contains("does not show with the air going the other way (blowing)"), page);
    assertTrue(page.contains("zero known to 0.000"), "and how well the dial's zero is known");
  }

  @Test
  void aLiftThatIsNoneIsRefusedInWords() throws IOException {
    Path files = Recorder.files(temp);
    Recorder.change(files.resolve("plan.json"), "[0.1, 0.2, 0.3]", "[0.2]");
    Ran ran =
        Recorder.record(files, temp.resolve("t"), "confirm half\nconfirm 0.5\n", "--hands-free");
    assertTrue(ran.err().contains("confirm takes a lift"), ran.err());
  }

  private static void blows(Path files) {
    Ran leak =
        Recorder.run(
            "\n",
            "leakage",
            "--bench",
            files.resolve("bench.json"),
            "--direction",
            "blowing",
            "--limit",
            "30 cfm",
            "--quick");
    assertEquals(5, leak.exitCode(), "nothing was seen on so large a range: " + leak.err());
  }
}
