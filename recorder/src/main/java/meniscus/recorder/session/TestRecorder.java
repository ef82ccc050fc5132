package meniscus.recorder.session;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SortedMap;
import java.util.function.Consumer;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.LadderRun;
import meniscus.core.time.Moment;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.Recovered;

/**
 * One lift test from bench and plan file to the finished folder: prepares, runs, finishes; or takes
 * an unfinished one up again.
 */
public final class TestRecorder {

  /**
   * What is to be recorded.
   *
   * @param benchFile bench.json; of a resumed test the copy in its journal is used instead
   * @param planFile plan.json; likewise
   * @param out test folder
   * @param mirror second folder for the journal
   * @param handsFree keep rungs by themselves
   * @param resume take up the unfinished test in the folder, or on its mirror
   * @param simulation when the bench is the simulated one
   */
  public record Request(
      Path benchFile,
      Path planFile,
      Path out,
      Optional<Path> mirror,
      boolean handsFree,
      boolean resume,
      Feeds.Simulation simulation) {}

  /**
   * How it ended.
   *
   * @param folder finished; empty when nothing was kept and so nothing finished
   * @param points that stand
   * @param openRungs rungs neither kept nor left empty
   */
  public record Outcome(Optional<Path> folder, List<LiftPoint> points, int openRungs) {

    /** True when a point should be looked at again, or a rung is missing. */
    public boolean doubtful() {
      return openRungs > 0 || points.stream().anyMatch(LiftPoint::doubtful);
    }
  }

  private final Request request;
  private final Drivers drivers;

  public TestRecorder(Request request, Drivers drivers) {
    this.request = request;
    this.drivers = drivers;
  }

  /**
   * Runs the whole test.
   *
   * @param ready is given the session before it runs: to listen, and to submit commands
   * @throws IOException when the folder cannot be written, or another recorder writes into it
   * @throws InterruptedException when interrupted: what is kept is safe in the journal
   */
  public Outcome record(Consumer<TestSession> ready) throws IOException, InterruptedException {
    Files.createDirectories(request.out());
    refuseFolderInUse();
    List<FolderLock> locks = new ArrayList<>();
    try {
      locks.add(FolderLock.take(request.out()));
      if (request.mirror().isPresent()) {
        Files.createDirectories(request.mirror().get());
        locks.add(FolderLock.take(request.mirror().get()));
      }
      return locked(locks.get(0), locks.stream().skip(1).findFirst(), ready);
    } finally {
      for (FolderLock lock : locks) {
        lock.close();
      }
    }
  }

  private void refuseFolderInUse() throws IOException {
    TestFolder.State state = TestFolder.state(request.out());
    if (state == TestFolder.State.FINISHED) {
      throw new IOException(
          request.out()
              + " holds a finished test: choose another folder, or put it aside with --replace");
    }
    if (state == TestFolder.State.UNFINISHED && !request.resume()) {
      throw new IOException(
          request.out()
              + " holds an unfinished test: go on with --resume, or put it aside with --replace");
    }
  }

  private Outcome locked(
      FolderLock folder, Optional<FolderLock> mirror, Consumer<TestSession> ready)
      throws IOException, InterruptedException {
    Optional<Recovered> recovered = recovered();
    SortedMap<String, byte[]> files =
        recovered.isPresent()
            ? recovered.get().headerOrRefuse().files()
            : FolderFiles.gather(request.benchFile(), request.planFile());
    Assembly assembly = Assembly.of(files);
    Moment first = recovered.map(TestRecorder::goesOnAt).orElse(Moment.START);
    LadderRun ladder = run(folder, mirror, recovered, assembly, ready);
    List<LiftPoint> points = ladder.points();
    Optional<Path> finished =
        points.isEmpty() ? Optional.empty() : Optional.of(Finish.folder(folder, mirror, assembly));
    return new Outcome(finished, points, ladder.openRungs());
  }

  private LadderRun run(
      FolderLock folder,
      Optional<FolderLock> mirror,
      Optional<Recovered> recovered,
      Assembly assembly,
      Consumer<TestSession> ready)
      throws IOException, InterruptedException {
    Moment first = recovered.map(TestRecorder::goesOnAt).orElse(Moment.START);
    Feeds.Opened opened =
        Feeds.open(
            assembly.bench(),
            request.benchFile(),
            drivers,
            request.simulation().on(assembly.plan().direction(), assembly.range().name()),
            first);
    try (Feed feed = opened.feed();
        Journal journal =
            recovered.isPresent()
                ? Journal.resume(folder, mirror, recovered.get())
                : Journal.create(folder, mirror, header(assembly, feed))) {
      TestSession session =
          new TestSession(
              feed,
              journal,
              assembly.acquisition(feed.channels()),
              assembly.pointMaker(),
              assembly.plan(),
              request.handsFree(),
              opened.clock(),
              request.simulation().quick() && !request.handsFree());
      recovered.ifPresent(
          left ->
              session
                  .ladder()
                  .takeUp(left.standing(), skipped(left), left.events(), left.nextRow()));
      ready.accept(session);
      session.run(Instant.now());
      return session.ladder();
    }
  }

  private Optional<Recovered> recovered() throws IOException {
    if (!request.resume()) {
      return Optional.empty();
    }
    Path journal = request.out().resolve(Journal.NAME);
    return Optional.of(
        request.mirror().isPresent()
            ? JournalReader.better(journal, request.mirror().get().resolve(Journal.NAME))
            : JournalReader.read(journal));
  }

  private static Header header(Assembly assembly, Feed feed) {
    List<Header.Columns> columns = new ArrayList<>();
    for (int i = 0; i < feed.channels().size(); i++) {
      columns.add(
          new Header.Columns(assembly.bench().instruments().get(i).id(), feed.channels().get(i)));
    }
    return new Header(Program.nameAndVersion(), Instant.now(), columns, assembly.files());
  }

  /** A resumed test goes on at its last moment plus the time that passed on the wall clock. */
  private static Moment goesOnAt(Recovered left) {
    Optional<TestEvent> segment =
        left.events().stream()
            .filter(event -> event.kind() == TestEvent.Kind.SEGMENT)
            .reduce((earlier, later) -> later);
    if (segment.isEmpty()) {
      return left.last().plusSeconds(1e-3);
    }
    Instant lastUtc =
        Instant.parse(segment.get().detail())
            .plusNanos(left.last().nanos() - segment.get().moment().nanos());
    return TestSession.resumeMoment(left.last(), lastUtc, Instant.now());
  }

  private static List<Integer> skipped(Recovered left) {
    List<Integer> numbers = new ArrayList<>();
    for (TestEvent event : left.events()) {
      String rung = event.detail().replaceFirst("^.*rung=(\\d+).*$", "$1");
      if (event.kind() == TestEvent.Kind.SKIPPED) {
        numbers.add(Integer.valueOf(rung));
      } else if (event.kind() == TestEvent.Kind.REDO || event.kind() == TestEvent.Kind.UNDONE) {
        numbers.remove(Integer.valueOf(rung));
        if (event.detail().contains("now=skipped")) {
          numbers.add(Integer.valueOf(rung));
        }
      }
    }
    return numbers;
  }
}
