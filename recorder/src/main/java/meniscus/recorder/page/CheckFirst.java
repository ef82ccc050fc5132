package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Set;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.look.DryRun;
import meniscus.recorder.page.bench.BenchOfPage;
import meniscus.recorder.page.bench.InUse;
import meniscus.recorder.page.bench.Listening;
import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.page.http.Response;

/** What {@code look --bench --plan} tells, before a test is started from the page. */
record CheckFirst(
    BenchOfPage bench,
    Archive archive,
    ControlLease charge,
    Drivers drivers,
    Listening listening,
    InUse lines) {

  private static final Set<String> MEMBERS = Set.of("client", "plan");

  /** Long enough for a station that speaks once a second [s]. */
  private static final double LISTEN_SECONDS = 3;

  Response take(byte[] body) throws HttpError {
    JsonIn in = JsonIn.read(body, MEMBERS);
    charge.allowOrRefuse(in);
    var plan = archive.planFile(in.text("plan"));
    var benchFile = bench.file();
    lines.take("a look at the bench");
    try {
      listening.close();
      ObjectNode json = JsonOut.object();
      JsonOut.list(
          json,
          "checks",
          DryRun.of(benchFile, plan, drivers, LISTEN_SECONDS),
          (node, check) ->
              node.put("area", check.area().word())
                  .put("state", check.state().word())
                  .put("text", check.text()));
      return Response.json(json);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw HttpError.notNow("interrupted");
    } finally {
      lines.free();
    }
  }
}
