package meniscus.recorder.page;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import meniscus.recorder.page.http.Response;

/** The files of the page, out of the program itself: a fixed table, no path comes from outside. */
final class WebFiles {

  private static final String HTML = "text/html; charset=utf-8";
  private static final String SCRIPT = "text/javascript; charset=utf-8";
  private static final String STYLE = "text/css; charset=utf-8";
  private static final String PICTURE = "image/svg+xml";

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
          "parts",
          "keys",
          "cues",
          "trace",
          "curve",
          "typing",
          "numbers",
          "start",
          "tests",
          "change",
          "report",
          "set-up",
          "fields",
          "bench-form",
          "readings",
          "upkeep-forms",
          "upkeep",
          "plates",
          "health",
          "plan-form");

  private final Map<String, Response> files = new HashMap<>();

  WebFiles() {
    put("/", "index.html", HTML);
    put("/code", "code.html", HTML);
    put("/style.css", "style.css", STYLE);
    put("/mark.svg", "mark.svg", PICTURE);
    SCRIPTS.forEach(name -> put("/" + name + ".js", name + ".js", SCRIPT));
  }

  Optional<Response> at(String path) {
    return Optional.ofNullable(files.get(path));
  }

  private void put(String path, String resource, String type) {
    try (InputStream in = WebFiles.class.getResourceAsStream(resource)) {
      if (in == null) {
        throw new IllegalStateException("the program has no " + resource + ": it is not whole");
      }
      files.put(path, Response.file(type, in.readAllBytes()));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
