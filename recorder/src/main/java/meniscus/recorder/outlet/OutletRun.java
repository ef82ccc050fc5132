package meniscus.recorder.outlet;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.OptionalLong;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import meniscus.core.bench.OutletEntry;
import meniscus.core.instrument.Settings;
import meniscus.core.outlet.LiveValues;
import meniscus.core.outlet.Outlet;
import meniscus.core.outlet.OutletHost;
import meniscus.core.outlet.OutletLost;
import meniscus.core.outlet.OutletPlugin;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.file.PlainText;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * One outlet at work, on a thread of its own: sends the facts of the spool in their order, a few
 * ahead of the receiver's answers, and moves the cursor by those answers alone. Whatever goes
 * wrong, it begins again behind the cursor, after pauses that grow.
 */
final class OutletRun implements OutletHost, Runnable {

  private static final Logger LOG = LoggerFactory.getLogger(OutletRun.class);

  /** Facts on their way at once: a receiver that writes each to its disk is kept busy. */
  static final int AHEAD = 64;

  /** Nothing is looked for more often than live values come [ms]. */
  private static final long LOOK_MS = 100;

  private static final long END_MS = 2_000;

  /**
   * How long to wait.
   *
   * @param firstMs after the first failure, twice as long after each one more
   * @param mostMs at most
   * @param answerMs for an answer, before facts are sent once more; grows in the same way
   */
  record Pauses(long firstMs, long mostMs, long answerMs) {
    static final Pauses USUAL = new Pauses(1_000, 60_000, 10_000);

    long after(long first, int failures) {
      return Math.min(mostMs, first << Math.min(failures, 20));
    }
  }

  /**
   * What is asked of the program around.
   *
   * @param spool of the facts
   * @param folder of the spool and the cursors
   * @param bench folder of the bench file
   * @param changed told when the state is another one
   */
  record Around(FactSpool spool, Path folder, Path bench, Secrets secrets, Runnable changed) {}

  private final OutletEntry entry;
  private final OutletPlugin plugin;
  private final Around around;
  private final Pauses pauses;
  private final Path cursorFile;
  private final Thread thread;
  private final Semaphore wake = new Semaphore(0);
  private final AtomicReference<LiveValues> live = new AtomicReference<>();
  private final AtomicReference<String> broken = new AtomicReference<>();
  private volatile boolean closing;
  private volatile OutletState.How how = OutletState.How.DELIVERS;
  private volatile String reason = "";
  private volatile long stored;

  // What the receiver answers, and up to where it may: guarded by this.
  private long everSent;
  private long answered;
  private long ahead;

  // Of the thread alone.
  private final Deque<FactSpool.Line> outstanding = new ArrayDeque<>();
  private FactSpool.Spot storedSpot = FactSpool.Spot.START;
  private FactSpool.Spot sentSpot = FactSpool.Spot.START;
  private int failures;
  private long movedAt = System.nanoTime();

  OutletRun(OutletEntry entry, OutletPlugin plugin, Around around, Pauses pauses) {
    this.entry = entry;
    this.plugin = plugin;
    this.around = around;
    this.pauses = pauses;
    this.cursorFile = Cursor.file(around.folder(), entry.name());
    this.thread = new Thread(this, "outlet " + entry.name());
    thread.setDaemon(true);
  }

  void start() {
    around.spool().onGrowth(this::wake);
    thread.start();
  }

  OutletState state() {
    return new OutletState(entry.name(), entry.plugin(), around.spool().end(), stored, how, reason);
  }

  /** What is read just now; takes the place of what was not taken yet. For any thread, at once. */
  void show(LiveValues now) {
    live.set(now);
    wake();
  }

  private void wake() {
    if (wake.availablePermits() == 0) {
      wake.release();
    }
  }

  // ------------------------------------------------------------------ what plugins call

  @Override
  public String secret(String name) {
    return around.secrets().of(name);
  }

  @Override
  public String file(String name) {
    return around.bench().toAbsolutePath().resolve(name).normalize().toString();
  }

  @Override
  public void answered(String json) {
    OptionalLong place = FactJson.storedUpTo(json);
    if (place.isEmpty()) {
      LOG.debug("outlet {}: an answer that is none", entry.name());
      return;
    }
    synchronized (this) {
      if (place.getAsLong() > everSent) {
        ahead = place.getAsLong();
      } else {
        answered = Math.max(answered, place.getAsLong());
      }
    }
    wake();
  }

  @Override
  public void lost(String why) {
    broken.compareAndSet(null, why);
    wake();
  }

  // ------------------------------------------------------------------ the thread

  @Override
  public void run() {
    try {
      goBack();
      while (!closing) {
        try {
          carry();
        } catch (OutletLost | IOException e) {
          waits(e.getMessage());
        } catch (Refusal e) {
          say(OutletState.How.REFUSED, e.getMessage());
          return;
        } catch (RuntimeException | Error e) {
          LOG.warn("outlet {}", entry.name(), e);
          waits("the plugin \"" + entry.plugin() + "\" fails: " + e);
        }
        pause();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (IOException e) {
      say(OutletState.How.REFUSED, e.getMessage());
    }
  }

  /** To where the cursor says; to the start, where it is of other facts. */
  private void goBack() throws IOException {
    Cursor cursor = Cursor.read(cursorFile);
    storedSpot = around.spool().behind(cursor.place(), cursor.key()).orElse(FactSpool.Spot.START);
    stored = storedSpot.place();
    synchronized (this) {
      everSent = stored;
      answered = stored;
    }
    around.changed().run();
  }

  private void carry() throws OutletLost, IOException, InterruptedException {
    broken.set(null);
    String where = "outlet \"" + entry.name() + "\" of the bench file";
    try (Outlet outlet = plugin.open(new Settings(where, entry.settings()), this)) {
      outstanding.clear();
      sentSpot = storedSpot;
      if (around.spool().end() == stored) {
        say(OutletState.How.DELIVERS, "");
      }
      while (!closing) {
        String why = broken.get();
        if (why != null) {
          throw new OutletLost(why);
        }
        takeAnswers();
        send(outlet);
        LiveValues now = live.getAndSet(null);
        if (now != null) {
          outlet.show(now, FactJson.write(now));
        }
        if (wake.tryAcquire(LOOK_MS, TimeUnit.MILLISECONDS)) {
          wake.drainPermits();
        }
      }
    }
  }

  private void send(Outlet outlet) throws OutletLost, IOException {
    if (outstanding.isEmpty()) {
      movedAt = System.nanoTime();
    } else if (System.nanoTime() - movedAt
        > TimeUnit.MILLISECONDS.toNanos(pauses.after(pauses.answerMs(), failures))) {
      throw new OutletLost("the receiver does not answer: is it running, and subscribed?");
    }
    int room = AHEAD - outstanding.size();
    if (room == 0 || around.spool().end() == sentSpot.place()) {
      return;
    }
    for (FactSpool.Line line : around.spool().read(sentSpot, room)) {
      synchronized (this) {
        everSent = Math.max(everSent, line.behind().place());
      }
      outlet.send(line.fact(), line.json());
      outstanding.add(line);
      sentSpot = line.behind();
    }
  }

  private void takeAnswers() throws IOException {
    long upTo;
    long tooFar;
    synchronized (this) {
      upTo = answered;
      tooFar = ahead;
      ahead = 0;
    }
    if (tooFar > 0) {
      say(
          OutletState.How.REFUSED,
          "the receiver says that it has stored up to "
              + tooFar
              + ", and no more than "
              + sentSpot.place()
              + " was sent: that is not believed. Is it the receiver of another bench?");
    }
    if (upTo <= stored) {
      return;
    }
    FactSpool.Line last = null;
    while (!outstanding.isEmpty() && outstanding.peek().behind().place() <= upTo) {
      last = outstanding.remove();
    }
    if (last != null) {
      // An answer to what was sent before the way broke counts as far as it was sent again.
      new Cursor(last.behind().place(), last.fact().key()).write(cursorFile);
      storedSpot = last.behind();
      stored = storedSpot.place();
      movedAt = System.nanoTime();
      failures = 0;
      say(OutletState.How.DELIVERS, "");
      around.changed().run();
    }
  }

  /** That a receiver was not believed stays said until it answers what can be. */
  private void waits(String why) {
    if (how != OutletState.How.REFUSED) {
      say(OutletState.How.WAITS, why);
    }
  }

  private void say(OutletState.How now, String told) {
    String why = PlainText.of(told);
    boolean another = now != how || !why.equals(reason);
    how = now;
    reason = why;
    if (another) {
      around.changed().run();
    }
  }

  private void pause() throws InterruptedException {
    long until =
        System.nanoTime()
            + TimeUnit.MILLISECONDS.toNanos(pauses.after(pauses.firstMs(), failures++));
    while (!closing && until - System.nanoTime() > 0) {
      wake.drainPermits();
      wake.tryAcquire(until - System.nanoTime(), TimeUnit.NANOSECONDS);
    }
  }

  /** Ends the thread; one whose plugin does not come back is left behind. */
  void close() {
    closing = true;
    wake();
    try {
      thread.join(END_MS);
      thread.interrupt();
    } catch (InterruptedException e) {
      thread.interrupt();
      Thread.currentThread().interrupt();
    }
  }
}
