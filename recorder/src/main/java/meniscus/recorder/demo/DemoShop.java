package meniscus.recorder.demo;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import meniscus.core.flow.Direction;
import meniscus.core.lift.Plan;
import meniscus.core.quantity.Worded;
import meniscus.drivers.simulated.Mounted;
import meniscus.drivers.simulated.ShopState;
import meniscus.recorder.file.PlanFile;
import meniscus.recorder.file.WholeFile;
import meniscus.recorder.report.HeadSheet;
import meniscus.recorder.report.HistoryPage;
import meniscus.recorder.report.PortHistory;
import meniscus.recorder.report.Report;
import meniscus.recorder.report.ShortSheet;
import meniscus.recorder.report.TestRead;
import meniscus.recorder.session.TestRecorder;

/**
 * An invented shop's job: a head with three ports, three valve jobs and five changes, two of them
 * wrong, each tested in simulated time and with its date of a month's work; then the head's sheet,
 * a customer's sheet and the history.
 */
public final class DemoShop {

  private static final String TESTS = "tests";
  private static final String PLANS = "plans";
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Duration CHECKED_BEFORE = Duration.ofMinutes(25);
  private static final List<Direction> WAYS = List.of(Direction.SUCTION, Direction.BLOWING);

  private static final String NOTICE =
      """
      A demo of Meniscus. Head, bench, shop, tests and their dates are invented: every test was
      worked out by the simulated bench.

      head.html      the head's ports beside each other
      customer.html  one page for a customer, of intake 1
      history.html   what was done to each port, what came of it, and what to do next
      truth.json     what the simulation knows of each change; look at it last
      tests          a folder each, with everything of the test
      plans, bench.json, plates.json, calibrations, calm: what the tests were taken with
      """;

  private final DemoStand stand;

  /**
   * @param out folder to write into; must not hold a demo already
   * @param seed of noise, weather and fitting
   * @param progress is told each step
   */
  public DemoShop(Path out, long seed, DemoStep.Progress progress) {
    stand = new DemoStand(out, true, seed, progress);
  }

  /**
   * A test of the job.
   *
   * @param state of its port
   * @param at when it began, in the shop's time
   * @param plan that it is taken with
   */
  private record Job(ShopState state, Instant at, Plan plan) {

    LocalDate day() {
      return LocalDate.ofInstant(at, ZoneOffset.UTC);
    }
  }

  /**
   * Runs it all.
   *
   * @return the way of each port
   */
  public List<PortHistory> run() throws IOException, InterruptedException {
    stand.writeBench();
    write("READ-ME.txt", NOTICE);
    JsonNode shop = JSON.readTree(DemoFiles.text("shop.json"));
    List<Job> jobs = jobs(shop);
    for (Job job : jobs) {
      Files.createDirectories(planFile(job).getParent());
      WholeFile.write(planFile(job), PlanFile.text(job.plan()));
    }
    stand.moved(LocalDate.parse(shop.get("bench_moved").asText()));
    stand.prepare(WAYS, planFile(jobs.get(0)), Instant.parse(shop.get("bench_ready").asText()));
    Map<LocalDate, List<Job>> days =
        jobs.stream().collect(Collectors.groupingBy(Job::day, TreeMap::new, Collectors.toList()));
    int noise = 1;
    for (Map.Entry<LocalDate, List<Job>> day : days.entrySet()) {
      test(day.getKey(), day.getValue(), noise++);
    }
    writeTruth(jobs);
    stand.progress().begins(DemoStep.COMPARING, "sheets, history");
    List<TestRead> read = new ArrayList<>();
    jobs.forEach(job -> read.add(TestRead.open(folder(job.state()))));
    List<PortHistory> ports = PortHistory.of(read, DemoStand.question());
    write("history.html", HistoryPage.of(ports));
    write("head.html", HeadSheet.of(read, DemoStand.question()));
    write("customer.html", customer(read));
    return ports;
  }

  /** The tests of a day know nothing of each other, and are worked out beside each other. */
  private void test(LocalDate day, List<Job> jobs, int noise)
      throws IOException, InterruptedException {
    stand
        .progress()
        .begins(
            DemoStep.AFTER,
            day
                + ": "
                + jobs.stream().map(job -> job.state().word()).collect(Collectors.joining(", ")));
    stand.check(WAYS, noise, jobs.get(0).at().minus(CHECKED_BEFORE));
    List<Callable<?>> tests = new ArrayList<>();
    jobs.forEach(job -> tests.add(() -> recorder(job).record(session -> {})));
    DemoStand.beside(tests);
  }

  private TestRecorder recorder(Job job) {
    return stand
        .recorder(
            planFile(job),
            folder(job.state()),
            new Mounted.Head(job.state().port()),
            11 + job.state().ordinal())
        .dated(job.at());
  }

  /** What intake 1 got. */
  private static String customer(List<TestRead> read) {
    Set<String> names =
        Stream.of(ShopState.INTAKE_1, ShopState.INTAKE_1_VALVE_JOB, ShopState.INTAKE_1_BOWL)
            .map(ShopState::word)
            .collect(Collectors.toSet());
    List<TestRead> tests =
        read.stream().filter(test -> names.contains(test.curve().name())).toList();
    return ShortSheet.of(tests, Report.Compared.ofOnePort(tests, DemoStand.question()));
  }

  private void write(String name, String page) throws IOException {
    Files.writeString(stand.out().resolve(name), page, StandardCharsets.UTF_8);
  }

  private Path planFile(Job job) {
    return stand.out().resolve(PLANS).resolve(job.state().word() + ".json");
  }

  private Path folder(ShopState state) {
    return stand.out().resolve(TESTS).resolve(state.word());
  }

  /** Every test's plan: that of its kind of port, with its own part and changes. */
  private static List<Job> jobs(JsonNode shop) throws IOException {
    List<Job> jobs = new ArrayList<>();
    for (JsonNode test : shop.get("tests")) {
      String name = test.get("name").asText();
      ObjectNode plan = shop.get(test.get("kind").asText()).deepCopy();
      plan.withObject("/part").set("port", test.get("port"));
      plan.withObject("/part").set("valve_job", test.get("valve_job"));
      plan.withObject("/set_up/seat").set("width", test.get("seat_width"));
      plan.set("changes", test.get("changes"));
      ShopState state = Worded.named(ShopState.values(), name).orElseThrow();
      jobs.add(
          new Job(
              state,
              Instant.parse(test.get("at").asText()),
              PlanFile.parse(name, JSON.writeValueAsString(plan))));
    }
    return jobs;
  }

  private void writeTruth(List<Job> jobs) throws IOException {
    ObjectNode truth = DemoTruth.object();
    ArrayNode steps = truth.putArray("steps");
    for (Job job : jobs) {
      if (job.state().from().isPresent()) {
        ObjectNode step = steps.addObject().put("test", job.state().word());
        step.put("from", job.state().from().get().word());
        step.put("port", job.plan().part().port().toLowerCase(Locale.ROOT));
        DemoTruth.put(step, job.plan(), job.state().step());
      }
    }
    DemoTruth.write(stand.out(), truth);
  }
}
