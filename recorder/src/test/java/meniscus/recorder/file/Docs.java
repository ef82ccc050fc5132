package meniscus.recorder.file;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.TreeSet;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;

/** The pages in docs, as tests read them. */
final class Docs {

  private static final Pattern JSON_BLOCK = Pattern.compile("```json\n(.*?)```", Pattern.DOTALL);
  private static final Pattern TABLE_MEMBER = Pattern.compile("(?m)^\\| `([a-z0-9_.*]+)` \\|");

  private Docs() {}

  static Path folder() {
    Path here = Path.of("docs");
    return Files.isDirectory(here) ? here : Path.of("..", "docs");
  }

  /** The JSON examples of a page, whole files and parts. */
  static List<String> examples(String page) throws IOException {
    return JSON_BLOCK
        .matcher(Files.readString(folder().resolve(page)))
        .results()
        .map(found -> found.group(1))
        .toList();
  }

  static List<String> wholeExamples(String page) throws IOException {
    return examples(page).stream().filter(text -> text.contains("\"meniscus\"")).toList();
  }

  /** The paths in the first column of a page's tables. */
  static TreeSet<String> members(String page) throws IOException {
    TreeSet<String> members = new TreeSet<>();
    TABLE_MEMBER
        .matcher(Files.readString(folder().resolve(page)))
        .results()
        .map((MatchResult found) -> found.group(1))
        .forEach(members::add);
    return members;
  }
}
