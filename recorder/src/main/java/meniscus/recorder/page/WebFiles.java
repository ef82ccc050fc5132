package meniscus.recorder.page;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import meniscus.recorder.page.http.Response;

/** The files of the page, out of the program itself: a fixed table, no path comes from outside. */
final class WebFiles {

  static final String HTML = "text/html; charset=utf-8";
  private static final String SCRIPT = "text/javascript; charset=utf-8";
  private static final String STYLE = "text/css; charset=utf-8";
  static final String PICTURE = "image/svg+xml";

  /** The charts' library, as its jar carries it. */
  private static final String LIBRARY = "/META-INF/resources/webjars/uplot/1.6.30/dist/";

  private static final List<String> SCRIPTS =
      List.of(
          "main",
          "code",
          "build",
          "live",
          "capture",
          "capture-asks",
          "capture-curve",
          "capture-ladder",
          "capture-numbers",
          "capture-orders",
          "capture-verdict",
          "charge",
          "awake",
          "said",
          "pressure-trace",
          "sharp",
          "parts",
          "keys",
          "cues",
          "trace",
          "curve",
          "plot",
          "chart",
          "rung",
          "photos",
          "picture",
          "typing",
          "numbers",
          "terms",
          "start",
          "try-out",
          "moved-bench",
          "first-hearing",
          "tests",
          "change",
          "report",
          "set-up",
          "fields",
          "bench-picture",
          "bench-form",
          "readings",
          "upkeep-forms",
          "upkeep",
          "plates",
          "health",
          "plan-form");

  private final Map<String, Named> files = new HashMap<>();
  private final Map<String, Response> read = new ConcurrentHashMap<>();

  /** A file of the page, and what it is. */
  private record Named(String resource, String type) {}

  WebFiles() {
    put("/", "index.html", HTML);
    put("/code", "code.html", HTML);
    put("/style.css", "style.css", STYLE);
    put("/mark.svg", "mark.svg", PICTURE);
    put("/uplot.js", LIBRARY + "uPlot.esm.js", SCRIPT);
    put("/uplot.css", LIBRARY + "uPlot.min.css", STYLE);
    SCRIPTS.forEach(name -> put("/" + name + ".js", name + ".js", SCRIPT));
  }

  Optional<Response> at(String path) {
    return Optional.ofNullable(files.get(path))
        .map(file -> read.computeIfAbsent(path, first -> file(file)));
  }

  private static Response file(Named file) {
    return Response.file(file.type(), bytes(file.resource()));
  }

  private void put(String path, String resource, String type) {
    files.put(path, new Named(resource, type));
  }

  /** A file of the page that is in the program. */
  static byte[] bytes(String resource) {
    try (InputStream in = WebFiles.class.getResourceAsStream(resource)) {
      if (in == null) {
        throw new IllegalStateException("the program has no " + resource + ": it is not whole");
      }
      return in.readAllBytes();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
