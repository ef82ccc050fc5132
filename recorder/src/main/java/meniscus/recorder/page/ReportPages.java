package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.compare.Comparison;
import meniscus.core.compare.Question;
import meniscus.core.finding.Finding;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Value;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.archive.TestArchive;
import meniscus.recorder.export.Form;
import meniscus.recorder.export.PointRows;
import meniscus.recorder.export.Table;
import meniscus.recorder.folder.TypedFolder;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.Request;
import meniscus.recorder.page.http.Response;
import meniscus.recorder.report.Ahead;
import meniscus.recorder.report.Charts;
import meniscus.recorder.report.ComparisonJson;
import meniscus.recorder.report.HeadSheet;
import meniscus.recorder.report.HistoryPage;
import meniscus.recorder.report.PortHistory;
import meniscus.recorder.report.Report;
import meniscus.recorder.report.ShortSheet;
import meniscus.recorder.report.TestFindings;
import meniscus.recorder.report.TestRead;

/** What is done with finished tests: findings, comparison, report. */
record ReportPages(Archive archive) {
  private static final int MOST_TESTS = 40;
  private static final int MOST_OF_HEAD = 200; // some seconds of work; our own choice
  private static final Pattern REPORT_STYLE =
      Pattern.compile("style-src .{1,10}?(sha256-[A-Za-z0-9+/=]{44})");

  /** A finished test, with what is found in it. */
  Response test(Request asked) throws HttpError, IOException {
    String name = asked.needed("name");
    ObjectNode json = archive.test(name);
    json.set("findings", findings(name));
    return Response.json(json);
  }

  /** Findings of one test by itself. */
  private ArrayNode findings(String name) throws HttpError {
    ArrayNode list = JsonOut.object().arrayNode();
    TestRead read = TestRead.open(archive.existing(name));
    for (Finding finding : TestFindings.of(List.of(read.curve()))) {
      ObjectNode json = list.addObject().put("sentence", finding.sentence());
      JsonOut.array(json, "evidence", finding.evidence());
      json.put("next_step", finding.nextStep());
    }
    return list;
  }

  /** The points of tests as a table for other programs: {@code form} is csv, csv-comma or json. */
  Response export(Request asked) throws HttpError, IOException {
    List<String> names = asked.all("test");
    if (names.isEmpty() || names.size() > MOST_TESTS) {
      throw HttpError.wrong("name 1 to " + MOST_TESTS + " tests");
    }
    String wanted = asked.one("form").orElse("csv");
    Form form =
        switch (wanted) {
          case "csv" -> Form.CSV;
          case "csv-comma" -> Form.CSV_COMMA;
          case "json" -> Form.JSON;
          default -> throw HttpError.wrong("\"form\" is csv, csv-comma or json");
        };
    List<TestArchive.Found> found = archive.found(names);
    Table table = PointRows.of(found, found.get(0).entry().known().orElseThrow().units());
    String ending = form == Form.JSON ? "json" : "csv";
    return Response.download(
        (names.size() == 1 ? names.get(0).replace('/', '-') : "tests") + "." + ending,
        form == Form.JSON ? "application/json" : "text/csv; charset=utf-8",
        form.file(form == Form.JSON ? table : table.withLocalTimes(ZoneId.systemDefault()))
            .getBytes(StandardCharsets.UTF_8));
  }

  /** What is planned for a port and what it is to reach, from the files of the data folder. */
  private Ahead ahead(Request asked) throws HttpError {
    try {
      Optional<Path> series = named(asked, "series");
      Optional<Path> target = named(asked, "target");
      return Ahead.read(
          series, target, asked.all("aim").stream().filter(s -> !s.isBlank()).toList());
    } catch (Refusal e) {
      throw HttpError.wrong(e.getMessage());
    }
  }

  private Optional<Path> named(Request asked, String what) throws HttpError {
    Optional<String> name = asked.one(what).filter(text -> !text.isBlank());
    return name.isEmpty() ? Optional.empty() : Optional.of(archive.file(what, name.get()));
  }

  Response compare(Request asked) throws HttpError {
    Comparison comparison =
        compared(read(asked.all("before")), read(asked.all("after")), question(asked));
    return Response.json(ComparisonJson.of(comparison));
  }

  /** What is asked about. */
  private record About(List<TestRead> tests, Optional<Report.Compared> compared) {}

  private About about(Request asked) throws HttpError {
    Optional<Report.Compared> compared = Optional.empty();
    if (!asked.all("before").isEmpty()) {
      List<TestRead> before = read(asked.all("before"));
      List<TestRead> after = read(asked.all("after"));
      compared =
          Optional.of(new Report.Compared(before, after, compared(before, after, question(asked))));
    }
    List<TestRead> tests = asked.all("test").isEmpty() ? List.of() : read(asked.all("test"));
    if (tests.isEmpty() && compared.isEmpty()) {
      throw HttpError.wrong("name a test, or tests before and after");
    }
    return new About(tests, compared);
  }

  /** The report, or one of the sheets, as a page of its own. */
  Response report(Request asked) throws HttpError {
    String sheet = asked.one("sheet").orElse("");
    if (sheet.equals("head") || sheet.equals("history")) {
      List<TestRead> tests = ofHead(asked.needed("test"));
      return page(
          sheet.equals("head")
              ? HeadSheet.of(tests, Question.PLAIN)
              : HistoryPage.of(PortHistory.of(tests, Question.PLAIN), typed(tests), ahead(asked)));
    }
    About about = about(asked);
    return page(
        sheet.equals("short")
            ? ShortSheet.of(
                about.tests,
                about.compared.or(() -> Report.Compared.ofOnePort(about.tests, Question.PLAIN)))
            : Report.of(about.tests, about.compared));
  }

  /** The curves from elsewhere that are said to be of a head. */
  private List<TypedFolder> typed(List<TestRead> tests) {
    String head = tests.get(0).curve().plan().part().head();
    return archive.typed().stream()
        .filter(one -> one.typed().part().filter(part -> part.head().equals(head)).isPresent())
        .toList();
  }

  /** Every test of the head that one test is of. */
  private List<TestRead> ofHead(String name) throws HttpError {
    List<String> names = archive.ofSameHead(name);
    if (names.size() > MOST_OF_HEAD) {
      throw HttpError.notNow(
          "the data folder has "
              + names.size()
              + " tests of this head, more than "
              + MOST_OF_HEAD
              + ": let the command report make this sheet");
    }
    return opened(names);
  }

  /** One chart as a file: {@code chart} is its name with the ending .svg or .png. */
  Response chart(Request asked) throws HttpError {
    About about = about(asked);
    String wanted = asked.needed("chart");
    for (Charts.Chart chart : Charts.of(about.tests, about.compared)) {
      if (wanted.equals(chart.name() + ".svg")) {
        return Response.download(
            wanted, "image/svg+xml", chart.svg().getBytes(StandardCharsets.UTF_8));
      }
      if (wanted.equals(chart.name() + ".png")) {
        try {
          return Response.download(wanted, "image/png", chart.png());
        } catch (Refusal noFonts) {
          throw HttpError.notNow(noFonts.getMessage());
        }
      }
    }
    throw HttpError.unknown("there is no chart \"" + wanted + "\"");
  }

  /** A page without scripts for printing; its one style is allowed by its hash. */
  static Response page(String html) {
    Matcher style = REPORT_STYLE.matcher(html);
    String allowed = style.find() ? "style-src '" + style.group(1) + "'; " : "";
    return Response.framed(
        html,
        "default-src 'none'; img-src data:; "
            + allowed
            + "base-uri 'none'; form-action 'none'; frame-ancestors 'self'");
  }

  private List<TestRead> read(List<String> names) throws HttpError {
    if (names.isEmpty() || names.size() > MOST_TESTS) {
      throw HttpError.wrong("name 1 to " + MOST_TESTS + " tests before, and as many after");
    }
    return opened(names);
  }

  private List<TestRead> opened(List<String> names) throws HttpError {
    List<TestRead> read = new ArrayList<>();
    for (String name : names) {
      read.add(TestRead.open(archive.existing(name)));
    }
    return read;
  }

  private static Comparison compared(List<TestRead> before, List<TestRead> after, Question question)
      throws HttpError {
    try {
      return Comparison.of(
          before.stream().map(TestRead::curve).toList(),
          after.stream().map(TestRead::curve).toList(),
          question);
    } catch (Refusal e) {
      throw HttpError.wrong(e.getMessage());
    }
  }

  private static Question question(Request asked) throws HttpError {
    Optional<String> margin = asked.one("margin").filter(text -> !text.isBlank());
    try {
      return new Question(
          margin.isPresent()
              ? OptionalDouble.of(Value.si(margin.get(), Dimension.RATIO))
              : OptionalDouble.empty(),
          Question.USUAL_RESOLUTION,
          asked.one("despite").filter(text -> !text.isBlank()),
          asked.one("interpolate").isPresent());
    } catch (Refusal e) {
      throw HttpError.wrong(e.getMessage());
    }
  }
}
