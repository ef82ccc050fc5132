package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.recorder.page.http.Response;
import org.junit.jupiter.api.Test;

/** The pages of docs/ as the program serves them. */
class HandbookTest {

  private static final Pattern LINK = Pattern.compile("href=\"([^\"]*)\"");

  private final Handbook handbook = new Handbook();

  @Test
  void everyPageOfTheDocsStandsOnOneShelf() throws IOException {
    try (Stream<Path> files = Files.list(Path.of("..", "docs"))) {
      Set<String> there =
          files
              .map(file -> file.getFileName().toString())
              .filter(name -> name.endsWith(".md"))
              .collect(Collectors.toCollection(TreeSet::new));
      there.add("boards/README.md");
      List<String> shelved =
          Handbook.SHELVES.stream()
              .flatMap(shelf -> shelf.pages().stream())
              .map(page -> page + ".md")
              .toList();
      assertEquals(List.copyOf(there), shelved.stream().sorted().toList());
    }
  }

  @Test
  void everyLinkLeadsToAPageAndItsHeadingOrOutOfTheProgram() {
    List<String> astray = new ArrayList<>();
    List<String> pages = new ArrayList<>(List.of("/docs/"));
    Handbook.SHELVES.forEach(
        shelf -> shelf.pages().forEach(page -> pages.add("/docs/" + page + ".md")));
    for (String page : pages) {
      Matcher link = LINK.matcher(html(page));
      while (link.find()) {
        URI to = URI.create(page).resolve(link.group(1).replace("&amp;", "&"));
        boolean outside =
            to.isAbsolute() || Set.of("/", "/style.css", "/mark.svg").contains(to.getPath());
        if (!outside && !leads(to)) {
          astray.add(page + " to " + to);
        }
      }
    }
    assertEquals(List.of(), astray);
  }

  private boolean leads(URI to) {
    Optional<Response> at = handbook.at(to.getPath());
    String heading = "id=\"" + to.getFragment() + "\"";
    return at.isPresent() && (to.getFragment() == null || body(at.get()).contains(heading));
  }

  @Test
  void wordsAreWordsAndTablesAreTables() {
    String formats = html("/docs/file-formats.md");
    assertTrue(formats.contains("<table"), "tables");
    assertTrue(formats.contains("<title>Files of a test · Meniscus</title>"));
    assertFalse(html("/docs/bench-file.md").contains("<script"), "no script");
    assertTrue(body(handbook.at("/docs/boards/wiring.svg").orElseThrow()).contains("<svg"));
  }

  @Test
  void nothingElseComesOutOfTheProgram() {
    for (String path :
        List.of("/docs", "/docs/../style.css", "/docs/LICENSE", "/docs/page.md/", "/docs/x.md")) {
      assertEquals(Optional.empty(), handbook.at(path), path);
    }
  }

  private String html(String path) {
    return body(handbook.at(path).orElseThrow());
  }

  private static String body(Response response) {
    return new String(response.body(), StandardCharsets.UTF_8);
  }
}
