package meniscus.recorder.page;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.Set;
import meniscus.core.bench.Bench;
import meniscus.recorder.report.CalibrationPage;
import meniscus.recorder.session.ByEye;

/** What Set-up asks for: the bench and its files, live readings. */
final class SetUp {

  private final BenchOfPage bench;
  private final Archive archive;
  private final Capture capture;
  private final Charge charge;
  private final Listening listening;
  private final InUse lines;

  SetUp(
      BenchOfPage bench,
      Archive archive,
      Capture capture,
      Charge charge,
      Listening listening,
      InUse lines) {
    this.bench = bench;
    this.archive = archive;
    this.capture = capture;
    this.charge = charge;
    this.listening = listening;
    this.lines = lines;
  }

  /** All of the bench, or only its plates where there is none yet. */
  Answer bench() throws Refused, IOException {
    ObjectNode json =
        bench.json().path("stands").asText().equals("ready")
            ? new BenchShown(bench.bench(), calm(bench.bench())).json()
            : Showing.object();
    json.set("plates", bench.platesJson().orElse(Showing.object().arrayNode()));
    return Answer.json(json);
  }

  private boolean calm(Bench read) throws Refused {
    return ByEye.calmCanBeTaken(read, bench.file());
  }

  Answer calibration(String sha256) throws Refused {
    Bench read = bench.bench();
    return After.page(CalibrationPage.html(read, bench.calibration(sha256), calm(read)));
  }

  Answer writeBench(byte[] body) throws Refused, IOException {
    JsonIn in = JsonIn.read(body, Set.of("client", "bench", "epoch"));
    charge.allowOrRefuse(in);
    refuseInUse();
    bench.write(needed(in, "bench"), in.optionalText("epoch").orElse(""));
    listening.close();
    return changed("bench");
  }

  Answer writePlates(byte[] body) throws Refused, IOException {
    JsonIn in = JsonIn.read(body, Set.of("client", "plates"));
    charge.allowOrRefuse(in);
    bench.writePlates(needed(in, "plates"));
    return changed("plates");
  }

  Answer writePlan(byte[] body) throws Refused, IOException {
    JsonIn in = JsonIn.read(body, Set.of("client", "name", "plan", "replace"));
    charge.allowOrRefuse(in);
    String name = in.text("name");
    archive.writePlan(name, needed(in, "plan").toString(), in.flag("replace"));
    return changed(name);
  }

  Answer simulated(byte[] body) throws Refused, IOException {
    charge.allowOrRefuse(JsonIn.read(body, Set.of("client")));
    bench.writeSimulated();
    return changed("bench");
  }

  /** Begins to listen, or switches the simulated bench's blower while it is listened to. */
  Answer listen(byte[] body) throws Refused {
    JsonIn in = JsonIn.read(body, Set.of("client", "blower"));
    charge.allowOrRefuse(in);
    refuseInUse();
    if (in.any("blower").isPresent()) {
      listening.blower(in.flag("blower"));
    } else {
      try {
        listening.start(bench.file());
      } catch (IllegalArgumentException e) {
        throw Refused.wrong(String.valueOf(e.getMessage()));
      }
    }
    return Answer.json(Showing.object().put("listening", true));
  }

  private void refuseInUse() throws Refused {
    if (capture.running().isPresent()) {
      throw Refused.notNow("a test is running: its readings are on the capture page");
    }
    lines.refuseTaken();
  }

  private static JsonNode needed(JsonIn in, String name) throws Refused {
    return in.any(name).orElseThrow(() -> Refused.wrong("\"" + name + "\" is missing"));
  }

  private Answer changed(String written) {
    capture.changed();
    return Answer.json(Showing.object().put("written", written));
  }
}
