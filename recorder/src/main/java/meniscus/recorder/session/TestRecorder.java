package meniscus.recorder.session;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SortedMap;
import java.util.UUID;
import java.util.function.Consumer;
import java.util.stream.Collectors;
import meniscus.core.bench.Bench;
import meniscus.core.bench.ChannelMatch;
import meniscus.core.bench.Site;
import meniscus.core.bench.Use;
import meniscus.core.calibrate.EpochTasks;
import meniscus.core.instrument.Channel;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.LadderRun;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.core.refusal.Refusal;
import meniscus.core.time.Moment;
import meniscus.core.time.UtcAnchor;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.feed.BenchFault;
import meniscus.recorder.feed.BoundInstrument;
import meniscus.recorder.feed.ByEye;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.feed.Feed;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.feed.SimulatedFeed;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.JournalReader;
import meniscus.recorder.journal.Recovered;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

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
   * @param points that stand, as they are in the folder
   * @param openRungs rungs neither kept nor left empty
   * @param before true when it was finished already, and only its journal was left to clear away
   */
  public record Outcome(
      Optional<Path> folder, List<LiftPoint> points, int openRungs, boolean before) {

    /** True when a point should be looked at again, or a rung is missing. */
    public boolean doubtful() {
      return openRungs > 0 || points.stream().anyMatch(LiftPoint::doubtful);
    }
  }

  private static final Logger LOG = LoggerFactory.getLogger(TestRecorder.class);

  private final Request request;
  private final Drivers drivers;
  private Optional<Consumer<Path>> toldAside = Optional.empty();
  private Optional<Instant> date = Optional.empty();

  /**
   * All that is known before anything is opened or written.
   *
   * @param left what an earlier segment left
   * @param first moment of the segment that begins
   */
  private record Prepared(
      Assembly assembly, List<BoundInstrument> wired, Optional<Recovered> left, Moment first) {}

  public TestRecorder(Request request, Drivers drivers) {
    this.request = request;
    this.drivers = drivers;
  }

  /**
   * Puts aside what is in the way instead of refusing it, once all else is in order.
   *
   * @param told is given the new name of each thing that was put aside
   */
  public TestRecorder replacing(Consumer<Path> told) {
    toldAside = Optional.of(told);
    return this;
  }

  /**
   * Gives a test in simulated time its own date. One of instruments bears that of the clock on the
   * wall, always.
   */
  public TestRecorder dated(Instant began) {
    date = Optional.of(began);
    return this;
  }

  /**
   * Runs the whole test. Nothing is written before bench, plan, sheets and instruments are in
   * order.
   *
   * @param ready is given the session before it runs: to listen, and to submit commands
   * @throws meniscus.recorder.file.FileNotAccepted when bench, plan or a sheet does not fit
   * @throws BenchFault when an instrument cannot be heard
   * @throws IOException when the folder cannot be written, or another recorder writes into it
   * @throws InterruptedException when interrupted: what is kept is safe in the journal
   */
  public Outcome record(Consumer<TestSession> ready) throws IOException, InterruptedException {
    Optional<TestFolder> before = Leftover.cleared(request.out(), request.mirror(), LOG::warn);
    if (before.isPresent() && request.resume()) {
      TestFolder test = before.get();
      return new Outcome(Optional.of(test.folder()), test.points(), Leftover.openRungs(test), true);
    }
    OwnFolder own = new OwnFolder(request.out(), request.mirror(), request.benchFile());
    own.refuseWhatIsInTheWay(toldAside.isPresent(), request.resume());
    Prepared test = prepared();
    Instant opening = date.orElseGet(Instant::now);
    Feeds.Opened opened = open(test);
    List<FolderLock> locks = new ArrayList<>();
    try {
      if (date.isPresent() && !(opened.feed() instanceof SimulatedFeed)) {
        throw new IllegalArgumentException("only simulated time has a date of its own");
      }
      TestSession session;
      try (Feed feed = opened.feed()) {
        feed.hearAll();
        if (toldAside.isPresent()) {
          own.putAside(toldAside.get());
        }
        own.lock(locks);
        session = run(test, opened, opening, locks, ready);
      }
      LadderRun ladder = session.ladder();
      if (ladder.points().isEmpty()) {
        return new Outcome(Optional.empty(), List.of(), ladder.openRungs(), false);
      }
      TestFolder finished =
          Finish.folder(
              locks.get(0),
              mirror(locks),
              trouble -> session.tell(new OperatorMessage.MirrorUnfinished(trouble)),
              test.assembly());
      Path beside = request.benchFile().toAbsolutePath().getParent();
      test.assembly()
          .bench()
          .upkeep()
          .calm()
          .ifPresent(calm -> SharedCalm.share(finished.folder(), beside.resolve(calm.folder())));
      return new Outcome(
          Optional.of(finished.folder()), finished.points(), ladder.openRungs(), false);
    } finally {
      for (FolderLock lock : locks) {
        lock.close();
      }
    }
  }

  private static Optional<FolderLock> mirror(List<FolderLock> locks) {
    return locks.stream().skip(1).findFirst();
  }

  /** Of a bench that will be known again. */
  private SortedMap<String, byte[]> gathered() {
    BenchFile.identified(request.benchFile());
    return FolderFiles.gather(request.benchFile(), request.planFile());
  }

  private Prepared prepared() throws IOException {
    Optional<Recovered> left = recovered();
    SortedMap<String, byte[]> files =
        left.isPresent() ? left.get().headerOrRefuse().files() : gathered();
    try {
      Assembly assembly = Assembly.of(files);
      List<BoundInstrument> wired =
          BoundInstrument.all(
              assembly.bench(),
              sheet -> FolderFiles.sheet(files, assembly.bench(), sheet, request.benchFile()),
              drivers);
      ChannelMatch.check(
          assembly.bench(),
          wired.stream()
              .collect(Collectors.toMap(one -> one.instrument().id(), BoundInstrument::channels)));
      if (left.isPresent()) {
        refuseOtherChannels(left.get().headerOrRefuse(), wired);
      } else {
        assembly.refuseSenselessElement();
      }
      assembly.acquisition(wired.stream().map(BoundInstrument::channels).toList());
      assembly.pointMaker();
      return new Prepared(
          assembly, wired, left, left.map(TestRecorder::goesOnAt).orElse(Moment.START));
    } catch (Refusal e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  /** Rows are written by the number of their channel: those must be what they were. */
  private static void refuseOtherChannels(Header header, List<BoundInstrument> wired) {
    for (int i = 0; i < wired.size(); i++) {
      List<Channel> before = header.instruments().get(i).channels();
      if (!before.equals(wired.get(i).channels())) {
        throw new FileNotAccepted(
            "instrument \""
                + wired.get(i).instrument().id()
                + "\" had other channels when the test began: use the sheet of that time");
      }
    }
  }

  private Feeds.Opened open(Prepared test) {
    try {
      return Feeds.open(
          test.assembly().bench(),
          test.wired(),
          request
              .simulation()
              .on(test.assembly().plan().direction(), test.assembly().range().name()),
          test.first());
    } catch (Refusal e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  private TestSession run(
      Prepared test,
      Feeds.Opened opened,
      Instant opening,
      List<FolderLock> locks,
      Consumer<TestSession> ready)
      throws IOException, InterruptedException {
    Assembly assembly = test.assembly();
    Feed feed = opened.feed();
    try (Journal journal =
        test.left().isPresent()
            ? Journal.resume(locks.get(0), mirror(locks), test.left().get())
            : Journal.create(locks.get(0), mirror(locks), header(assembly, feed, opening))) {
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
      test.left()
          .ifPresent(
              left ->
                  session
                      .ladder()
                      .takeUp(left.standing(), left.skipped(), left.events(), left.nextRow()));
      ready.accept(session);
      Bench bench = assembly.bench();
      boolean calm = ByEye.calmCanBeTaken(bench, feed.channels());
      if (!EpochTasks.open(bench, calm).isEmpty()) {
        session.tell(new OperatorMessage.OpenUpkeep(bench, calm));
      }
      assembly.calmLeftOut().ifPresent(session::tell);
      doubtOfTypedBarometer(bench).ifPresent(session::tell);
      // Only where the clock on the wall is the test's own: a simulated bench runs through.
      Awake awake = Awake.begin(opened.clock().isPresent());
      try {
        session.run(new UtcAnchor(opening, test.first()));
      } finally {
        awake.close();
      }
      return session;
    }
  }

  /** A pressure that is typed in can be doubted before anything is read. */
  private static Optional<OperatorMessage> doubtOfTypedBarometer(Bench bench) {
    Site site = bench.site();
    return bench
        .source(Use.ROOM_PRESSURE)
        .flatMap(
            source ->
                source.<Optional<Double>>fold(
                    gauge -> Optional.empty(),
                    typed -> Optional.of(site.stationPa(typed.valueSi()))))
        .filter(stationPa -> site.doubt(stationPa).isPresent())
        .map(stationPa -> new OperatorMessage.BarometerDoubt(site, stationPa));
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

  static Header header(Assembly assembly, Feed feed, Instant began) {
    List<Header.Columns> columns = new ArrayList<>();
    for (int i = 0; i < feed.channels().size(); i++) {
      columns.add(
          new Header.Columns(assembly.bench().instruments().get(i).id(), feed.channels().get(i)));
    }
    return new Header(
        Program.nameAndVersion(), began, columns, assembly.files(), Optional.of(UUID.randomUUID()));
  }

  /** A resumed test goes on at its last moment plus the time that passed on the wall clock. */
  private static Moment goesOnAt(Recovered left) {
    Optional<Instant> lastUtc = Optional.empty();
    for (TestEvent event : left.events()) {
      if (event.what() instanceof TestEvent.Segment segment) {
        lastUtc =
            Optional.of(segment.anchor().plusNanos(left.last().nanos() - event.moment().nanos()));
      }
    }
    return lastUtc
        .map(utc -> TestSession.resumeMoment(left.last(), utc, Instant.now()))
        .orElse(left.last().plusSeconds(1e-3));
  }
}
