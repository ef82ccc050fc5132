package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.Base64;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.Needed;
import meniscus.core.bench.Repeatability;
import meniscus.core.lift.InventedBench;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;
import meniscus.recorder.cli.Called;
import meniscus.recorder.report.InventedFolders;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.RegisterExtension;
import org.junit.jupiter.api.io.TempDir;

/** The report as a real browser prints it. */
@Tag("long")
class PrintedReportTest {

  private static final Instant DAY = Instant.parse("2031-05-06T07:08:09Z");
  private static final Pattern PAGES = Pattern.compile("Pages:\\s+(\\d+)");
  private static final Pattern SIZE = Pattern.compile("Page size:\\s+([\\d.]+) x ([\\d.]+) pts");

  /** Widths and heights in inches. */
  private enum Paper {
    A4(8.27, 11.69),
    LETTER(8.5, 11);

    private final double width;
    private final double height;

    Paper(double width, double height) {
      this.width = width;
      this.height = height;
    }
  }

  @RegisterExtension static final Browser browser = new Browser();

  @TempDir private Path temp;

  @Test
  void theReportPrintsOnBothPapersWithItsTextToBeFound() throws IOException {
    assumePoppler();
    InventedBench bench =
        new InventedBench(2, new InventedBench.Errors(0.003, 1e-5, 1e-3, 1e-3, 0));
    Path before = folder(bench, "before", lift -> 1);
    Path after = folder(bench, "after", lift -> lift < 5.5e-3 ? 1.04 : lift > 10.5e-3 ? 0.93 : 1);
    Path report = temp.resolve("report.html");
    Called called = Called.with("report", "--before", before, "--after", after, "--out", report);
    assertEquals(0, called.code(), called.err());
    browser.driver.get(report.toUri().toString());
    for (Paper paper : Paper.values()) {
      print(paper);
    }
    assertEquals(List.of(), browser.driver.manage().logs().get("browser").getAll());
  }

  @Test
  void theSheetsForAHeadAndForACustomerAreOnePageEach() throws IOException {
    assumePoppler();
    InventedBench bench =
        new InventedBench(2, new InventedBench.Errors(0.003, 1e-5, 1e-3, 1e-3, 0));
    Path before = folder(bench, "before", lift -> 1);
    Path after = folder(bench, "after", lift -> lift < 5.5e-3 ? 1.04 : lift > 10.5e-3 ? 0.93 : 1);
    Path customer = temp.resolve("short.html");
    Path head = temp.resolve("head.html");
    Called.with("report", "--short", "--before", before, "--after", after, "--out", customer);
    Called.with("report", "--head", temp, "--out", head);
    for (Path sheet : List.of(customer, head)) {
      browser.driver.get(sheet.toUri().toString());
      for (Paper paper : Paper.values()) {
        String info = run("pdfinfo", pdf(paper).toString());
        assertEquals("1", found(PAGES, info).group(1), sheet + " on " + paper);
      }
    }
  }

  /** Four chambers, an intake and an exhaust each, half of them changed, some for the worse. */
  @Test
  void theSheetOfAHeadOfEightPortsIsOnePageToo() throws IOException {
    assumePoppler();
    InventedBench bench =
        new InventedBench(3, new InventedBench.Errors(0.001, 1e-6, 1e-4, 1e-3, 0));
    Optional<Repeatability> known =
        Optional.of(new Repeatability(List.of(new Repeatability.Node(5e-3, 0.003)), 0.5, 40));
    for (int chamber = 1; chamber <= 4; chamber++) {
      for (PortKind kind : PortKind.values()) {
        Plan.Part part =
            new Plan.Part(
                "Heron head, no. 3", "chamber " + chamber, kind.word(), "30, 45, 60 degrees", "j");
        double as = kind == PortKind.INTAKE ? 1 : 0.7;
        for (int state = 0; state <= chamber % 2; state++) {
          String name = kind.word() + "-" + chamber + "-" + state;
          boolean worse = state > 0 && chamber == 3;
          double factor = worse ? 0.93 * as : as + 0.05 * state;
          InventedFolders.write(
              temp.resolve(name),
              InventedBench.of(
                  part,
                  kind,
                  InventedBench.notes(
                      state == 0
                          ? new String[0]
                          : new String[] {worse ? "lowered the short side" : "opened the bowl"}),
                  bench.run(name, known, lift -> factor)),
              true,
              DAY.plus(Duration.ofDays(state)));
        }
      }
    }
    Path head = temp.resolve("head.html");
    Called called = Called.with("report", "--head", temp, "--out", head);
    assertEquals(0, called.code(), called.err());
    browser.driver.get(head.toUri().toString());
    for (Paper paper : Paper.values()) {
      Path pdf = pdf(paper);
      Files.copy(
          pdf,
          Files.createDirectories(Path.of("target", "screenshots"))
              .resolve("head-" + paper + ".pdf"),
          StandardCopyOption.REPLACE_EXISTING);
      assertEquals("1", found(PAGES, run("pdfinfo", pdf.toString())).group(1), paper.toString());
      String text = run("pdftotext", "-layout", pdf.toString(), "-").replaceAll("\\s+", " ");
      assertTrue(text.contains(": change 1 (lowered the short side) loses"), text);
      assertTrue(text.contains("in the history"), "more ports than lines");
    }
  }

  private Path folder(InventedBench bench, String name, DoubleUnaryOperator change)
      throws IOException {
    return InventedFolders.write(
        temp.resolve(name), bench.run(name, Optional.empty(), change), true, DAY);
  }

  private void print(Paper paper) throws IOException {
    Path pdf = pdf(paper);
    String info = run("pdfinfo", pdf.toString());
    int pages = Integer.parseInt(found(PAGES, info).group(1));
    assertTrue(pages >= 2 && pages <= 6, paper + ": " + pages + " pages");
    assertEquals(72 * paper.width, Double.parseDouble(found(SIZE, info).group(1)), 1);
    assertEquals(72 * paper.height, Double.parseDouble(found(SIZE, info).group(2)), 1);
    String text = run("pdftotext", "-layout", pdf.toString(), "-").replaceAll("\\s+", " ");
    for (String said :
        List.of(
            "Average of these 12 lifts",
            "Flow is lost at high lift", // in calm air: not called likely
            "no real change",
            "valve lift, mm",
            "qualified machinist")) {
      assertTrue(text.contains(said), paper + " lacks \"" + said + "\"");
    }
    for (int page = 1; page <= pages; page++) {
      String number = Integer.toString(page);
      String on = run("pdftotext", "-f", number, "-l", number, pdf.toString(), "-").strip();
      assertFalse(on.startsWith("Cautions"), paper + ", page " + page + " holds cautions alone");
    }
    String first = run("pdftotext", "-l", "1", pdf.toString(), "-");
    assertTrue(first.contains("change, %"), paper + ": both charts stand on the first page");
  }

  private Path pdf(Paper paper) throws IOException {
    Map<String, Object> printed =
        browser.driver.executeCdpCommand(
            "Page.printToPDF", Map.of("paperWidth", paper.width, "paperHeight", paper.height));
    Path pdf = temp.resolve(paper.name().toLowerCase(Locale.ROOT) + ".pdf");
    Files.write(pdf, Base64.getDecoder().decode((String) printed.get("data")));
    return pdf;
  }

  private static Matcher found(Pattern pattern, String text) {
    Matcher matcher = pattern.matcher(text);
    assertTrue(matcher.find(), text);
    return matcher;
  }

  private static void assumePoppler() {
    try {
      run("pdfinfo", "-v");
      run("pdftotext", "-v");
    } catch (IOException e) {
      Needed.that(false, "no poppler-utils: the printed report is not read");
    }
  }

  private static String run(String... command) throws IOException {
    Process process = new ProcessBuilder(Arrays.asList(command)).redirectErrorStream(true).start();
    try (InputStream in = process.getInputStream()) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }
}
