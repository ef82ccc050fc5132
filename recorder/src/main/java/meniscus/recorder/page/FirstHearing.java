package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.drivers.line.FoundLine;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.SheetFiles;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.look.KnownSheet;
import meniscus.recorder.look.LinePlace;
import meniscus.recorder.look.SheetGuess;
import meniscus.recorder.look.StartingBench;
import meniscus.recorder.page.bench.InUse;
import meniscus.recorder.page.bench.Listening;
import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.JsonIn;
import meniscus.recorder.page.http.Response;

/**
 * What {@code look --guess} hears, for the first bench file: one line a request, so that the page
 * can say how far it is. Only listens; nothing is written.
 */
final class FirstHearing {

  /** As {@code look --guess}: a station that speaks once a second is heard often enough [s]. */
  private static final double SECONDS = 4;

  private final Path benchFile;
  private final ControlLease charge;
  private final Drivers drivers;
  private final Listening listening;
  private final InUse lines;
  private final Map<String, StartingBench.Recognised> recognised = new LinkedHashMap<>();

  FirstHearing(
      Path benchFile, ControlLease charge, Drivers drivers, Listening listening, InUse lines) {
    this.benchFile = benchFile;
    this.charge = charge;
    this.drivers = drivers;
    this.listening = listening;
    this.lines = lines;
  }

  /** Listens to one line that is plugged in, and begins a bench file with all heard so far. */
  Response take(byte[] body) throws HttpError {
    JsonIn in = JsonIn.read(body, Set.of("client", "port"));
    charge.allowOrRefuse(in);
    String port = in.text("port");
    if (Files.exists(benchFile)) {
      return givenUp(port);
    }
    FoundLine line =
        drivers.lineKinds().stream()
            .flatMap(kind -> kind.found().stream())
            .filter(found -> found.port().equals(port))
            .findFirst()
            .orElseThrow(() -> HttpError.unknown("nothing is plugged in at \"" + port + "\""));
    Thread hears = Thread.currentThread();
    lines.take("a first hearing of the instruments", hears::interrupt);
    try {
      listening.close();
      long start = System.nanoTime();
      SheetGuess guess =
          new SheetGuess(
              drivers.lineKinds(), () -> new Moment(System.nanoTime() - start), SECONDS, false);
      return Response.json(told(line, guess.at(LinePlace.of(port), sheets())));
    } catch (InterruptedException e) {
      return givenUp(port);
    } finally {
      lines.free();
    }
  }

  /** Nobody's fault: something else was begun. */
  private static Response givenUp(String port) {
    return Response.json(JsonOut.object().put("port", port).put("given_up", true));
  }

  /** Shipped ones, and those that lie beside the bench file to be. */
  private List<KnownSheet> sheets() {
    List<KnownSheet> sheets = new ArrayList<>(KnownSheet.shipped(drivers));
    Path folder = benchFile.toAbsolutePath().getParent();
    if (Files.isDirectory(folder)) {
      try {
        sheets.addAll(KnownSheet.in(folder, drivers).sheets());
      } catch (IOException e) {
        // A folder that cannot be read has no sheets.
      }
    }
    return sheets;
  }

  private synchronized ObjectNode told(FoundLine line, SheetGuess.Outcome heard) {
    ObjectNode json = JsonOut.object().put("port", line.port());
    json.put("heard", heard.example()).put("trouble", heard.trouble().orElse(null));
    recognised.remove(line.port());
    Optional<SheetGuess.Tried> best = heard.best();
    if (best.isPresent()) {
      KnownSheet sheet = best.get().sheet();
      json.put("sheet", shortName(sheet)).put("frames", best.get().frames());
      recognised.put(
          line.port(),
          new StartingBench.Recognised(heard.place(), sheet, shortName(sheet), Optional.of(line)));
    }
    try {
      String text = BenchFile.text(StartingBench.of(List.copyOf(recognised.values())));
      ObjectNode bench = JsonIn.tree(text.getBytes(StandardCharsets.UTF_8));
      bench.remove("upkeep");
      json.set("bench", bench);
    } catch (Refusal | IOException e) {
      // Two pressures make a bench; what was heard is told all the same.
    }
    return json;
  }

  /** As a bench file names it. */
  private static String shortName(KnownSheet sheet) {
    return SheetFiles.isOwn(sheet.name())
        ? Path.of(sheet.name()).getFileName().toString()
        : sheet.name();
  }
}
