package meniscus.recorder.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import java.util.stream.StreamSupport;
import meniscus.recorder.cli.Called;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.folder.DataPackageProfile;
import meniscus.recorder.page.PageServer;
import meniscus.recorder.record.Recorder;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Whole demo jobs: what is said of each lift against what the simulation did. */
@Tag("long")
class DemoTruthTest {

  private static final Pattern REPORT_ROW =
      Pattern.compile(
          "<tr><td class=\"n\">([0-9.]+) in</td>.*?<td class=\"(?:gain|loss|quiet)\">\\W*([a-z ]+)</td>");

  @TempDir static Path temp;

  @Test
  void commandPageAndReportSayOfEachLiftWhatIsTrue() throws Exception {
    Path job = job(1);
    JsonNode compared = compared(job);
    assertEquals(List.of(), falseClaims(job, compared));
    List<String> words = outcomes(compared);
    assertTrue(words.contains("gain") && words.contains("loss"), words.toString());
    assertTrue(saysShortSide(compared), compared.get("findings").toString());
    JsonNode onThePage = comparedOnThePage(job);
    assertEquals(compared.get("lifts"), onThePage.get("lifts"));
    assertEquals(compared.get("whole_curve"), onThePage.get("whole_curve"));
    assertEquals(compared.get("findings"), onThePage.get("findings"));
    String report = Files.readString(job.resolve("report.html"));
    assertEquals(
        IntStream.range(0, words.size())
            .mapToObj(i -> String.format(Locale.ROOT, "%.3f %s", lift(compared, i), words.get(i)))
            .toList(),
        rows(report));
    assertTrue(report.toLowerCase(Locale.ROOT).contains("likely short side"));
    remarksSayWhatMatters(job);
  }

  /**
   * Of 24 points 21 once said that their noise is unlike the calm record, which is true of every
   * healthy port, eleven that there is ripple of some hundredths of a per cent, and each that no
   * reading was dropped.
   */
  private static void remarksSayWhatMatters(Path job) throws IOException {
    List<String> points = new ArrayList<>();
    for (String test : List.of("before", "after")) {
      List<String> rows = Files.readAllLines(job.resolve(test).resolve("points.csv"));
      points.addAll(rows.subList(1, rows.size()));
    }
    String all = String.join("\n", points);
    assertEquals(24, points.size());
    long unlike = points.stream().filter(row -> row.contains("unlike the calm record")).count();
    assertTrue(unlike <= 3, unlike + " of " + all);
    for (String harmless : List.of("were dropped", "mains ripple of 0.0", "NaN", "e-0")) {
      assertFalse(all.contains(harmless), harmless + " in " + all);
    }
    assertTrue(points.stream().filter(row -> row.contains("mains")).count() <= 3, all);
  }

  @Test
  void theDemosTestsAndOneRecordedOnItsBenchFollowTheProfile() throws IOException {
    DataPackageProfile profile = new DataPackageProfile();
    Path demo = job(1);
    profile.assertFollowedBy(demo.resolve("before"));
    profile.assertFollowedBy(demo.resolve("after"));
    Path recorded = temp.resolve("recorded");
    Called record =
        Called.with(
            "record",
            "--bench",
            demo.resolve("bench.json"),
            "--plan",
            demo.resolve("plan.json"),
            "--out",
            recorded,
            "--hands-free",
            "--quick");
    assertTrue(List.of(0, 5).contains(record.code()), record.err());
    profile.assertFollowedBy(recorded);
  }

  @Test
  @Tag("bench")
  void aHundredJobs() throws Exception {
    int jobs = Integer.getInteger("meniscus.jobs", 100);
    int clean = 0;
    int named = 0;
    int open = 0;
    for (int seed = 1; seed <= jobs; seed++) {
      Path job = job(seed);
      JsonNode compared = compared(job);
      List<String> wrong = falseClaims(job, compared);
      clean += wrong.isEmpty() ? 1 : 0;
      named += saysShortSide(compared) ? 1 : 0;
      long undecided =
          outcomes(compared).stream().filter(word -> word.equals("cannot tell yet")).count();
      open += (int) undecided;
      say("seed %d: %d lifts cannot be told yet; false: %s", seed, undecided, wrong);
    }
    say(
        "%d of %d jobs without a false claim, short side named in %d, %.2f lifts a job open",
        clean, jobs, named, (double) open / jobs);
    assertTrue(clean >= 0.9 * jobs);
  }

  private static Path job(int seed) {
    Path out = temp.resolve("demo-" + seed);
    if (!Files.exists(out)) {
      Claims.run("demo", "--quick", "--seed", seed, "--out", out);
    }
    return out;
  }

  private static JsonNode compared(Path job) {
    return Recorder.json(
        Claims.run("compare", job.resolve("before"), "--after", job.resolve("after"), "--json"));
  }

  private static JsonNode comparedOnThePage(Path job) throws Exception {
    try (PageServer page = PageServer.start(0, job, job.resolve("bench.json"), Drivers.shipped())) {
      URI asked = page.address().resolve("/api/change?before=before&after=after");
      return Recorder.json(
          HttpClient.newHttpClient()
              .send(HttpRequest.newBuilder(asked).build(), BodyHandlers.ofString())
              .body());
    }
  }

  private static List<String> falseClaims(Path job, JsonNode compared) throws IOException {
    return Claims.wrong(
        Recorder.json(Files.readString(job.resolve("truth.json"))).get("lifts"),
        compared.get("lifts"),
        Double.POSITIVE_INFINITY);
  }

  private static List<String> outcomes(JsonNode compared) {
    return StreamSupport.stream(compared.get("lifts").spliterator(), false)
        .map(lift -> lift.get("outcome").asText())
        .toList();
  }

  private static double lift(JsonNode compared, int index) {
    return compared.get("lifts").get(index).get("lift").asDouble();
  }

  private static boolean saysShortSide(JsonNode compared) {
    return compared.get("findings").toString().contains("likely short side");
  }

  /** Lift and outcome of each row of the report's first table. */
  private static List<String> rows(String report) {
    List<String> rows = new ArrayList<>();
    Matcher row = REPORT_ROW.matcher(report);
    while (row.find()) {
      rows.add(row.group(1) + " " + row.group(2));
    }
    return rows;
  }

  private static void say(String format, Object... values) {
    System.out.println(String.format(Locale.ROOT, format, values));
  }
}
