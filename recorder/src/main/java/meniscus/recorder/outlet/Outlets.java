package meniscus.recorder.outlet;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.UUID;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import meniscus.core.bench.OutletEntry;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.outlet.LiveValues;
import meniscus.core.outlet.OutletPlugin;
import meniscus.core.pipeline.RunState;
import meniscus.recorder.disk.FolderLock;
import meniscus.recorder.file.BenchFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.session.SessionListener;
import meniscus.recorder.session.TestSession;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The outlets of a bench while a program runs. A thread of its own reads what tests have come to,
 * from their journals and folders on the disk, into the spool; from there each outlet goes on by
 * itself. A running test tells this thread that there is something new, and never waits for it.
 *
 * <p>One program a bench does this at a time; another one waits until that one ends.
 */
public final class Outlets implements AutoCloseable {

  /** Beside the bench file. */
  public static final String FOLDER = "outlet";

  private static final Logger LOG = LoggerFactory.getLogger(Outlets.class);

  /** How often is looked for what nobody told, such as tests of another program [ms]. */
  private static final long LOOK_MS = 1_000;

  /** Of what is told in less, the later is looked at together [ms]. */
  private static final long TOGETHER_MS = 50;

  /** Ten times a second [ns]. */
  private static final long SHOWN_NANOS = TimeUnit.MILLISECONDS.toNanos(100);

  private static final long GOODBYE_MS = 3_000;

  private final Path benchFile;
  private final Path folder;
  private final List<OutletEntry> entries;
  private final Map<String, OutletPlugin> plugins = new HashMap<>();
  private final OutletRun.Pauses pauses;
  private final Secrets secrets;
  private final FollowedTests followed;
  private final List<OutletRun> runs = new CopyOnWriteArrayList<>();
  private final List<Runnable> listeners = new CopyOnWriteArrayList<>();
  private final Semaphore news = new Semaphore(0);
  private final Thread thread;
  private volatile Optional<String> trouble = Optional.empty();
  private volatile boolean closing;

  private Outlets(
      Path benchFile,
      List<OutletEntry> entries,
      List<OutletPlugin> plugins,
      Secrets secrets,
      OutletRun.Pauses pauses) {
    this.benchFile = benchFile;
    this.folder = folder(benchFile);
    this.entries = List.copyOf(entries);
    plugins.forEach(plugin -> this.plugins.put(plugin.id(), plugin));
    this.secrets = secrets;
    this.pauses = pauses;
    this.followed = new FollowedTests(folder);
    this.thread = new Thread(this::work, "outlet facts");
    thread.setDaemon(true);
  }

  private static Path folder(Path benchFile) {
    return benchFile.toAbsolutePath().resolveSibling(FOLDER);
  }

  /** Of a bench that tells nobody. */
  public static Outlets none() {
    return new Outlets(
        Path.of("bench.json"), List.of(), List.of(), Secrets.here(), OutletRun.Pauses.USUAL);
  }

  /**
   * Sets the outlets of a bench file going; none where it is not there or cannot be read, which
   * others tell.
   *
   * @param plugins those at hand
   */
  public static Outlets start(Path benchFile, List<OutletPlugin> plugins) {
    return start(benchFile, plugins, Secrets.here(), OutletRun.Pauses.USUAL);
  }

  static Outlets start(
      Path benchFile, List<OutletPlugin> plugins, Secrets secrets, OutletRun.Pauses pauses) {
    Outlets outlets = new Outlets(benchFile, entries(benchFile), plugins, secrets, pauses);
    if (!outlets.entries.isEmpty()) {
      outlets.thread.start();
    }
    return outlets;
  }

  private static List<OutletEntry> entries(Path benchFile) {
    try {
      return Files.exists(benchFile) ? BenchFile.read(benchFile).outlets() : List.of();
    } catch (FileNotAccepted e) {
      return List.of();
    }
  }

  /**
   * Follows a test that is about to run, to its end and beyond.
   *
   * @param test its folder, where its journal is already
   */
  public void begins(Path test, TestSession session) {
    if (entries.isEmpty()) {
      return;
    }
    try {
      followed.add(test);
    } catch (IOException e) {
      trouble = Optional.of("facts of " + test + " cannot be followed: " + e.getMessage());
      changed();
    }
    session.listen(new Following(session.id()));
    poke();
  }

  /** Something may be new on the disk. From any thread; returns at once. */
  public void poke() {
    news.release();
  }

  /** Has someone told when a state is another one; on threads of the outlets. */
  public void onChange(Runnable told) {
    listeners.add(told);
  }

  private void changed() {
    listeners.forEach(Runnable::run);
    synchronized (this) {
      notifyAll();
    }
  }

  /** How each outlet of the bench fares. */
  public List<OutletState> states() {
    if (runs.isEmpty()) {
      return onDisk(benchFile, entries, trouble.orElse(""));
    }
    return runs.stream()
        .map(OutletRun::state)
        .map(state -> trouble.map(why -> waits(state, why)).orElse(state))
        .toList();
  }

  private static OutletState waits(OutletState state, String why) {
    return state.how() == OutletState.How.DELIVERS
        ? new OutletState(
            state.name(),
            state.plugin(),
            state.facts(),
            state.storedUpTo(),
            OutletState.How.WAITS,
            why)
        : state;
  }

  /** What the disk tells of the outlets of a bench, whoever runs them. */
  public static List<OutletState> onDisk(Path benchFile) {
    return onDisk(benchFile, entries(benchFile), "");
  }

  private static List<OutletState> onDisk(
      Path benchFile, List<OutletEntry> entries, String trouble) {
    Path folder = folder(benchFile);
    List<OutletState> states = new ArrayList<>();
    if (entries.isEmpty()) {
      return states;
    }
    long facts = 0;
    String reason = trouble;
    try {
      facts = FactSpool.count(folder);
    } catch (IOException e) {
      reason = e.getMessage();
    }
    for (OutletEntry entry : entries) {
      long stored = Math.min(facts, Cursor.read(Cursor.file(folder, entry.name())).place());
      boolean waits = stored < facts || !reason.isEmpty();
      states.add(
          new OutletState(
              entry.name(),
              entry.plugin(),
              facts,
              stored,
              waits ? OutletState.How.WAITS : OutletState.How.DELIVERS,
              reason));
    }
    return states;
  }

  // ------------------------------------------------------------------ the thread

  private void work() {
    try {
      Files.createDirectories(folder);
      try (FolderLock lock = locked();
          FactSpool spool = FactSpool.open(lock.folder())) {
        trouble = Optional.empty();
        begin(spool);
        FactReading reading = new FactReading(benchFile, followed, spool);
        while (!closing) {
          look(reading);
          if (news.tryAcquire(LOOK_MS, TimeUnit.MILLISECONDS) && !closing) {
            TimeUnit.MILLISECONDS.sleep(TOGETHER_MS);
          }
          news.drainPermits();
        }
        look(reading);
        goodbye();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (IOException | RuntimeException e) {
      LOG.warn("outlets", e);
      trouble = Optional.of(String.valueOf(e.getMessage()));
      changed();
    } finally {
      runs.forEach(OutletRun::close);
    }
  }

  /** Waits for its turn: another program may be at it. */
  private FolderLock locked() throws InterruptedException, IOException {
    while (!closing) {
      try {
        return FolderLock.take(folder);
      } catch (IOException taken) {
        LOG.debug("outlets wait", taken);
        news.tryAcquire(LOOK_MS, TimeUnit.MILLISECONDS);
      }
    }
    throw new InterruptedException();
  }

  private void begin(FactSpool spool) {
    OutletRun.Around around =
        new OutletRun.Around(
            spool, folder, benchFile.toAbsolutePath().getParent(), secrets, this::changed);
    for (OutletEntry entry : entries) {
      OutletPlugin plugin =
          Optional.ofNullable(plugins.get(entry.plugin()))
              .orElseGet(() -> new NoPlugin(entry.plugin()));
      runs.add(new OutletRun(entry, plugin, around, pauses));
    }
    runs.forEach(OutletRun::start);
  }

  private void look(FactReading reading) {
    try {
      reading.look();
      if (trouble.isPresent()) {
        trouble = Optional.empty();
        changed();
      }
    } catch (IOException | FileNotAccepted e) {
      LOG.debug("facts are not all read yet", e);
      trouble = Optional.of(String.valueOf(e.getMessage()));
      changed();
    }
  }

  private synchronized void goodbye() throws InterruptedException {
    long until = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(GOODBYE_MS);
    while (states().stream()
        .anyMatch(state -> state.how() == OutletState.How.DELIVERS && state.waiting() > 0)) {
      long left = TimeUnit.NANOSECONDS.toMillis(until - System.nanoTime());
      if (left <= 0) {
        return;
      }
      wait(left);
    }
  }

  /**
   * Gives what is new a moment to be delivered, and ends. What is not delivered by then is next
   * time.
   */
  @Override
  public void close() {
    closing = true;
    poke();
    try {
      thread.join(3 * GOODBYE_MS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    thread.interrupt();
  }

  /** Listens to a session on its thread: says that there is something, and is gone. */
  private final class Following implements SessionListener {

    private final Optional<UUID> benchId = BenchFile.read(benchFile).identity().id();
    private final Optional<UUID> testId;
    private long shownAt = System.nanoTime() - SHOWN_NANOS;

    Following(Optional<UUID> testId) {
      this.testId = testId;
    }

    @Override
    public void kept(LiftPoint point) {
      poke();
    }

    @Override
    public void event(TestEvent event) {
      poke();
    }

    @Override
    public void state(RunState state) {
      long now = System.nanoTime();
      if (now - shownAt >= SHOWN_NANOS) {
        shownAt = now;
        LiveValues values = new LiveValues(Instant.now(), benchId, testId, numbers(state));
        runs.forEach(run -> run.show(values));
      }
    }

    private static SortedMap<String, Double> numbers(RunState state) {
      SortedMap<String, Double> numbers = new TreeMap<>();
      state.wanted().rung().ifPresent(rung -> numbers.put("rung", (double) rung.number()));
      numbers.put("flow_m3_per_s", state.live().flow().meanM3PerS());
      numbers.put("test_pressure_pa", state.live().pressure().value());
      numbers.put("lift_m", state.live().lift().value());
      numbers.values().removeIf(number -> !Double.isFinite(number));
      return numbers;
    }
  }
}
