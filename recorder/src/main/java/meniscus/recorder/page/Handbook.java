package meniscus.recorder.page;

import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import meniscus.recorder.page.http.Response;
import org.commonmark.Extension;
import org.commonmark.ext.gfm.tables.TablesExtension;
import org.commonmark.ext.heading.anchor.HeadingAnchorExtension;
import org.commonmark.node.AbstractVisitor;
import org.commonmark.node.Link;
import org.commonmark.node.Node;
import org.commonmark.parser.Parser;
import org.commonmark.renderer.html.HtmlRenderer;

/**
 * The pages of {@code docs/}, out of the program itself, for a bench that has no network: a fixed
 * table, no path comes from outside. Each is written in Markdown and made a page when it is first
 * asked for.
 */
final class Handbook {

  /** Pages that belong together. */
  record Shelf(String name, List<String> pages) {}

  /** In the order in which they are of use: at the bench, in the office, to who builds on it. */
  static final List<Shelf> SHELVES =
      List.of(
          new Shelf(
              "At the bench",
              List.of(
                  "first-test",
                  "bench-set-up",
                  "calibration",
                  "averaging",
                  "comparing",
                  "many-benches",
                  "safety",
                  "page",
                  "plan-file",
                  "bench-file")),
          new Shelf(
              "Instruments",
              List.of("instrument-sheets", "boards/README", "writing-a-driver", "simulated-bench")),
          new Shelf(
              "Records",
              List.of("records", "file-formats", "scripts", "outlets", "uncertainty", "physics")),
          new Shelf(
              "The program",
              List.of(
                  "install",
                  "security",
                  "compatibility",
                  "changes",
                  "figures",
                  "decisions",
                  "licence",
                  "third-party")));

  private static final String FOLDER = "/docs/";
  private static final String PICTURE = "boards/wiring.svg";

  /** Loaded with the first page that is read: the bench page need not wait for it. */
  private static final class Markdown {
    static final List<Extension> EXTENSIONS =
        List.of(TablesExtension.create(), HeadingAnchorExtension.create());
    static final Parser PARSER = Parser.builder().extensions(EXTENSIONS).build();
    static final HtmlRenderer RENDERER =
        HtmlRenderer.builder()
            .extensions(EXTENSIONS)
            .escapeHtml(true)
            .attributeProviderFactory(
                any ->
                    (node, tag, attributes) -> {
                      if (tag.equals("pre") || tag.equals("table")) {
                        attributes.put("tabindex", "0"); // scrolled by keyboard
                      }
                    })
            .build();
  }

  private final Set<String> served = new HashSet<>();
  private final Map<String, Response> made = new ConcurrentHashMap<>();

  Handbook() {
    served.add(FOLDER);
    served.add(FOLDER + PICTURE);
    SHELVES.forEach(shelf -> shelf.pages().forEach(page -> served.add(path(page))));
  }

  Optional<Response> at(String path) {
    return served.contains(path)
        ? Optional.of(made.computeIfAbsent(path, this::make))
        : Optional.empty();
  }

  private static String path(String page) {
    return FOLDER + page + ".md";
  }

  private Response make(String path) {
    if (path.equals(FOLDER)) {
      return html("Help", contents());
    }
    if (path.equals(FOLDER + PICTURE)) {
      return Response.file(WebFiles.PICTURE, bytes(path));
    }
    Node page = Markdown.PARSER.parse(text(path));
    page.accept(new Inside(URI.create(path)));
    return html(title(path), Markdown.RENDERER.render(page));
  }

  /** Titles shelf by shelf. */
  private static String contents() {
    StringBuilder html = new StringBuilder("<h1>Help</h1>\n");
    for (Shelf shelf : SHELVES) {
      html.append("<h2>").append(shelf.name()).append("</h2>\n<ul>\n");
      for (String page : shelf.pages()) {
        String path = path(page);
        html.append("<li><a href=\"").append(path).append("\">").append(title(path));
        html.append("</a></li>\n");
      }
      html.append("</ul>\n");
    }
    return html.toString();
  }

  /** The first line of a page is its heading. */
  private static String title(String path) {
    return text(path).lines().findFirst().orElse("").replaceFirst("^#\\s*", "");
  }

  private static Response html(String title, String content) {
    String page =
        """
        <!doctype html>
        <html lang="en">
        <head>
        <meta charset="utf-8">
        <meta name="viewport" content="width=device-width, initial-scale=1">
        <title>%s · Meniscus</title>
        <link rel="icon" href="/mark.svg">
        <link rel="stylesheet" href="/style.css">
        </head>
        <body>
        <header class="top"><nav aria-label="Pages"><a href="/">Bench page</a>
        <a href="/docs/">Help</a></nav></header>
        <main><div class="page handbook">
        %s</div></main>
        </body>
        </html>
        """
            .formatted(title, content);
    return Response.file(WebFiles.HTML, page.getBytes(StandardCharsets.UTF_8));
  }

  private static String text(String path) {
    return new String(bytes(path), StandardCharsets.UTF_8);
  }

  private static byte[] bytes(String path) {
    return WebFiles.bytes(path.substring(1));
  }

  /** Links to what is not served become their words. */
  private final class Inside extends AbstractVisitor {

    private final URI here;

    Inside(URI here) {
      this.here = here;
    }

    @Override
    public void visit(Link link) {
      visitChildren(link);
      URI to = here.resolve(link.getDestination());
      if (to.isAbsolute() || served.contains(to.getPath())) {
        return;
      }
      while (link.getFirstChild() != null) {
        link.insertBefore(link.getFirstChild());
      }
      link.unlink();
    }
  }
}
