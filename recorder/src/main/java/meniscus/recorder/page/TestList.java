package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import meniscus.recorder.archive.IndexEntry;
import meniscus.recorder.archive.TestSummary;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.Request;

/** The list of tests as it is searched, sorted and leafed through: one leaf goes to the page. */
final class TestList {

  /** Tests of a leaf. Our own choice: two screens. */
  private static final int LEAF = 50;

  private TestList() {}

  /**
   * One leaf.
   *
   * @param all newest first
   * @param asked {@code words} that all stand in the test's texts, {@code show}, {@code sort},
   *     {@code from}
   * @param told a test as the page gets it
   */
  static ObjectNode leaf(List<IndexEntry> all, Request asked, Function<IndexEntry, ObjectNode> told)
      throws HttpError {
    List<String> words =
        Pattern.compile("\\s+")
            .splitAsStream(asked.one("words").orElse("").toLowerCase(Locale.ROOT))
            .filter(word -> !word.isEmpty())
            .toList();
    String show = asked.one("show").orElse("all");
    List<IndexEntry> found = new ArrayList<>();
    for (IndexEntry entry : all) {
      if (shown(entry, show)
          && (words.isEmpty() || words.stream().allMatch(text(entry)::contains))) {
        found.add(entry);
      }
    }
    order(asked.one("sort").orElse("newest")).ifPresent(found::sort);
    int from = from(asked);
    ObjectNode json = JsonOut.object();
    json.put("total", found.size()).put("of", all.size()).put("from", from).put("leaf", LEAF);
    json.put("next_name", nextName(all));
    JsonOut.array(json, "tests", found.stream().skip(from).limit(LEAF).map(told).toList());
    return json;
  }

  /** What the next test may be called: the first number that none has. */
  private static String nextName(List<IndexEntry> all) {
    Set<String> taken = all.stream().map(IndexEntry::name).collect(Collectors.toSet());
    return IntStream.iterate(1, number -> number + 1)
        .mapToObj(number -> "test-" + number)
        .filter(name -> !taken.contains(name))
        .findFirst()
        .orElseThrow();
  }

  private static int from(Request asked) throws HttpError {
    String from = asked.one("from").orElse("0");
    if (!from.matches("\\d{1,7}")) {
      throw HttpError.wrong("\"from\" is a number of tests");
    }
    return Integer.parseInt(from);
  }

  private static boolean shown(IndexEntry entry, String show) throws HttpError {
    Optional<TestSummary> known = entry.known();
    return switch (show) {
      case "all" -> true;
      case "intake", "exhaust" -> known.filter(one -> one.port().word().equals(show)).isPresent();
      case "doubtful" -> known.filter(one -> one.doubtful() > 0).isPresent();
      case "unfinished", "finished", "damaged" -> entry.stands().equals(show);
      default -> throw HttpError.wrong("\"show\" is all, intake, exhaust, doubtful or unfinished");
    };
  }

  private static Optional<Comparator<IndexEntry>> order(String sort) throws HttpError {
    Comparator<IndexEntry> newest =
        Comparator.comparing(
            entry -> entry.known().map(TestSummary::at).orElse(Instant.EPOCH),
            Comparator.reverseOrder());
    return switch (sort) {
      case "newest" -> Optional.of(newest);
      case "oldest" -> Optional.of(newest.reversed());
      case "name" -> Optional.of(Comparator.comparing(IndexEntry::name));
      case "peak" ->
          Optional.of(
              Comparator.comparingDouble(
                  entry ->
                      entry
                          .known()
                          .map(TestSummary::highestFlowM3PerS)
                          .filter(Double::isFinite)
                          .map(flow -> -flow)
                          .orElse(Double.MAX_VALUE)));
      default -> throw HttpError.wrong("\"sort\" is newest, oldest, name or peak");
    };
  }

  /** All that a person would look for, in small letters. */
  private static String text(IndexEntry entry) {
    return (entry.name() + "\n" + entry.known().map(TestList::texts).orElse(entry.why()))
        .toLowerCase(Locale.ROOT);
  }

  private static String texts(TestSummary known) {
    return String.join(
        "\n",
        known.title(),
        known.at().atZone(ZoneOffset.UTC).toLocalDate().toString(),
        known.part().head(),
        known.part().chamber(),
        known.part().port(),
        known.part().valveJob(),
        known.part().customerReference(),
        known.port().word(),
        known.direction().word(),
        String.join("\n", known.changes()));
  }
}
