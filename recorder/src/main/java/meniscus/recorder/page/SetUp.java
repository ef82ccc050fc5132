package meniscus.recorder.page;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.Set;
import meniscus.core.bench.Bench;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.bench.BenchOfPage;
import meniscus.recorder.page.bench.BenchShown;
import meniscus.recorder.page.bench.InUse;
import meniscus.recorder.page.bench.Listening;
import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.page.http.Response;
import meniscus.recorder.report.CalibrationPage;

/** What Set-up asks for: the bench and its files, live readings. */
final class SetUp {

  private final BenchOfPage bench;
  private final Archive archive;
  private final Capture capture;
  private final ControlLease charge;
  private final Listening listening;
  private final InUse lines;

  SetUp(
      BenchOfPage bench,
      Archive archive,
      Capture capture,
      ControlLease charge,
      Listening listening,
      InUse lines) {
    this.bench = bench;
    this.archive = archive;
    this.capture = capture;
    this.charge = charge;
    this.listening = listening;
    this.lines = lines;
  }

  /** All of the bench, or only its plates where there is none yet or nobody says which it is. */
  Response bench() throws HttpError, IOException {
    JsonNode stands = bench.json();
    ObjectNode json =
        stands.path("stands").asText().equals("ready") && !stands.path("elsewhere").asBoolean()
            ? new BenchShown(bench.bench(), bench.file(), calm(bench.bench())).json()
            : JsonOut.object();
    json.put("all_heard", listening.allHeard());
    json.set("plates", bench.platesJson().orElse(JsonOut.object().arrayNode()));
    return Response.json(json);
  }

  private boolean calm(Bench read) throws HttpError {
    return ByEye.calmCanBeTaken(read, bench.file());
  }

  Response calibration(String sha256) throws HttpError, IOException {
    Bench read = bench.bench();
    return ReportPages.page(CalibrationPage.html(read, bench.calibration(sha256), calm(read)));
  }

  Response writeBench(byte[] body) throws HttpError, IOException {
    JsonIn in = JsonIn.read(body, Set.of("client", "bench", "epoch"));
    charge.allowOrRefuse(in);
    refuseInUse();
    bench.write(needed(in, "bench"), in.optionalText("epoch").orElse(""));
    listening.forget();
    return changed("bench");
  }

  Response writePlates(byte[] body) throws HttpError, IOException {
    JsonIn in = JsonIn.read(body, Set.of("client", "plates"));
    charge.allowOrRefuse(in);
    bench.writePlates(needed(in, "plates"));
    return changed("plates");
  }

  Response writePlan(byte[] body) throws HttpError, IOException {
    JsonIn in = JsonIn.read(body, Set.of("client", "name", "plan", "replace"));
    charge.allowOrRefuse(in);
    String name = in.text("name");
    archive.writePlan(name, needed(in, "plan").toString(), in.flag("replace"), bench.ownFiles());
    return changed(name);
  }

  Response simulated(byte[] body) throws HttpError, IOException {
    charge.allowOrRefuse(JsonIn.read(body, Set.of("client")));
    bench.writeSimulated();
    listening.forget();
    return changed("bench");
  }

  /** Whether a bench whose file was moved or copied is the same one. */
  Response moved(byte[] body) throws HttpError, IOException {
    JsonIn in = JsonIn.read(body, Set.of("client", "same"));
    charge.allowOrRefuse(in);
    refuseInUse();
    needed(in, "same");
    String settled = bench.settle(in.flag("same"));
    listening.forget();
    capture.changed();
    return Response.json(JsonOut.object().put("settled", settled));
  }

  /** Begins to listen, or switches the simulated bench's blower while it is listened to. */
  Response listen(byte[] body) throws HttpError {
    JsonIn in = JsonIn.read(body, Set.of("client", "blower"));
    charge.allowOrRefuse(in);
    refuseInUse();
    if (in.any("blower").isPresent()) {
      listening.blower(in.flag("blower"));
    } else {
      try {
        listening.start(bench.file());
      } catch (Refusal e) {
        throw HttpError.wrong(String.valueOf(e.getMessage()));
      }
    }
    return Response.json(JsonOut.object().put("listening", true));
  }

  private void refuseInUse() throws HttpError {
    if (capture.running().isPresent()) {
      throw HttpError.notNow("a test is running: its readings are on the capture page");
    }
    lines.refuseTaken();
  }

  private static JsonNode needed(JsonIn in, String name) throws HttpError {
    return in.any(name).orElseThrow(() -> HttpError.wrong("\"" + name + "\" is missing"));
  }

  private Response changed(String written) {
    capture.changed();
    return Response.json(JsonOut.object().put("written", written));
  }
}
