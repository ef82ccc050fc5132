package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.UUID;
import java.util.function.Consumer;
import java.util.function.LongPredicate;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.Frame;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.FolderLock;

/**
 * Writes the journal of one test. Rows and events are taken into memory and follow to the disk on a
 * thread of their own; {@link #kept} waits until its point is forced. While the disk does not take
 * anything, the journal goes on in memory (up to {@link #MEMORY} bytes), says so, and catches up by
 * itself.
 *
 * <p>For several threads; the order of calls is the order in the journal.
 */
public final class Journal implements AutoCloseable {

  public static final String NAME = "test.journal";

  /** Bytes held in memory while the disk does not take them; above it no more rows are taken. */
  public static final int MEMORY = JournalLimits.USUAL.memoryBytes();

  /**
   * So many times its usual patience the end of a test waits for a disk that is at work: one that
   * came back has all to take that was held in memory (our own choice: half a minute).
   */
  private static final int AT_THE_END = 14;

  /**
   * How the journal fares.
   *
   * @param trouble why nothing reaches the test's folder, when nothing does
   * @param mirrorTrouble why nothing reaches the mirror, when nothing does
   * @param full true when rows are no longer taken
   */
  public record State(Optional<String> trouble, Optional<String> mirrorTrouble, boolean full) {}

  private final Header header;
  private final long[] allChannels;
  private final Unforced tail;
  private final JournalLimits limits;
  private final JournalCopy main;
  private final Optional<JournalCopy> mirror;
  private volatile Consumer<State> listener = state -> {};

  private Journal(
      Header header,
      Unforced tail,
      JournalLimits limits,
      JournalFile first,
      Optional<JournalFile> second,
      Disk disk) {
    this.header = header;
    this.allChannels = Header.Columns.all(header.instruments());
    this.tail = tail;
    this.limits = limits;
    this.main = follow(first, true, disk);
    this.mirror = second.map(place -> follow(place, false, disk));
  }

  private JournalCopy follow(JournalFile place, boolean leads, Disk disk) {
    return new JournalCopy(
        disk, place.file(), place.open(), place.right(), tail, limits, leads, this::changed);
  }

  /**
   * Starts a journal in a folder that has none.
   *
   * @param folder to write {@code test.journal} into
   * @param mirror a second folder for the same bytes
   * @throws IOException when there is a journal already, or it cannot be written
   */
  public static Journal create(FolderLock folder, Optional<FolderLock> mirror, Header header)
      throws IOException {
    return create(
        Disk.REAL, folder.folder(), mirror.map(FolderLock::folder), header, JournalLimits.USUAL);
  }

  static Journal create(
      Disk disk, Path folder, Optional<Path> mirror, Header header, JournalLimits limits)
      throws IOException {
    JournalFile first = JournalFile.fresh(disk, folder);
    Optional<JournalFile> second = Optional.empty();
    if (mirror.isPresent()) {
      second = Optional.of(JournalFile.fresh(disk, mirror.get()));
    }
    Unforced tail = new Unforced(new SecureRandom().nextInt(), 0, 0, 0);
    Journal journal = new Journal(header, tail, limits, first, second, disk);
    synchronized (tail) {
      // Twice, so that no single damage costs what the test cannot be finished without.
      journal.appendStart();
      journal.appendStart();
    }
    journal.begin(List.of());
    return journal;
  }

  /**
   * Goes on with a journal that was left behind. Copies that lag behind are brought up; what
   * follows the last whole block is cut off.
   *
   * @param from read from the folder, the mirror, or anywhere else
   */
  public static Journal resume(FolderLock folder, Optional<FolderLock> mirror, Recovered from)
      throws IOException {
    return resume(
        Disk.REAL, folder.folder(), mirror.map(FolderLock::folder), from, JournalLimits.USUAL);
  }

  static Journal resume(
      Disk disk, Path folder, Optional<Path> mirror, Recovered from, JournalLimits limits)
      throws IOException {
    Header header = from.headerOrRefuse();
    Disk.OpenFile source = disk.read(from.source());
    try {
      JournalFile first = JournalFile.existing(disk, folder, source, from);
      Optional<JournalFile> second = Optional.empty();
      if (mirror.isPresent()) {
        second = Optional.of(JournalFile.existing(disk, mirror.get(), source, from));
      }
      Unforced tail = new Unforced(from.journal(), from.end(), from.nextSequence(), from.nextRow());
      Journal journal = new Journal(header, tail, limits, first, second, disk);
      journal.begin(List.of(source::read));
      return journal;
    } finally {
      source.close();
    }
  }

  private void appendStart() {
    tail.append(Block.Type.HEADER, Payload.header(header));
    for (Map.Entry<String, byte[]> file : header.files().entrySet()) {
      for (byte[] piece : Payload.file(file.getKey(), file.getValue())) {
        tail.append(Block.Type.FILE, piece);
      }
    }
  }

  /** Sets the copies going and waits until all that was there from the start is safe on each. */
  private void begin(List<Fallback> source) throws IOException {
    List<Fallback> forMain = new ArrayList<>(source);
    mirror.ifPresent(forMain::add);
    List<Fallback> forMirror = new ArrayList<>(source);
    forMirror.add(main);
    main.start(forMain);
    mirror.ifPresent(copy -> copy.start(forMirror));
    Receipt receipt;
    synchronized (tail) {
      tail.wantForce(tail.end());
      receipt = await(tail.end(), Duration.ofMinutes(5), upTo -> settled(main, upTo));
    }
    main.others(mirror.map(List::<Fallback>of).orElse(List.of()));
    mirror.ifPresent(copy -> copy.others(List.of(main)));
    if (receipt.safety() != Receipt.Safety.SAFE) {
      abandon();
      throw new IOException("the test cannot start: " + receipt.reason());
    }
  }

  /** As {@link #row(long, int, long, double[])} for a frame as it was received. */
  public boolean row(Frame frame) {
    double[] values = frame.valuesSi().clone();
    long present = 0;
    for (int channel = 0; channel < values.length; channel++) {
      if (!Double.isNaN(values[channel])) {
        present |= 1L << channel;
      }
      if (values[channel] == Frame.OVERLOAD) {
        values[channel] = Double.NaN;
      }
    }
    return row(frame.moment().nanos(), frame.instrument(), present, values);
  }

  /** As {@link #row(long, int, long, double[])} for a frame that has every channel. */
  public boolean row(long momentNanos, int instrument, double... values) {
    return row(momentNanos, instrument, allChannels[instrument], values);
  }

  /**
   * Takes a received frame. A frame without any channel is not a row and is not counted.
   *
   * @param momentNanos of arrival
   * @param instrument index in {@link Header#instruments}
   * @param present bit c is set where the frame has channel c
   * @param values by channel [SI]; NaN where the instrument said overload; not kept by reference
   * @return false when it was not taken because memory is full: the disk has not worked for long
   */
  public boolean row(long momentNanos, int instrument, long present, double[] values) {
    long all = allChannels[instrument];
    if ((present & ~all) != 0) {
      throw new IllegalArgumentException(
          header.instruments().get(instrument).instrument() + " has no such channel");
    }
    if (present == 0) {
      return true;
    }
    synchronized (tail) {
      if (tail.waiting() >= limits.memoryBytes() && !awaitRoom()) {
        return false;
      }
      tail.row(momentNanos, instrument, present, all, values);
      return true;
    }
  }

  /** Which test it is; empty in journals from before tests had an id. */
  public Optional<UUID> test() {
    return header.id();
  }

  /** Number of rows taken so far; what {@link TestEvent#afterRow} counts. */
  public long rows() {
    synchronized (tail) {
      return tail.rows();
    }
  }

  /**
   * Takes an event; it is forced soon, without waiting for it. Its place among the rows is the
   * number of rows taken so far, whatever it says itself.
   */
  public void event(TestEvent event) {
    synchronized (tail) {
      tail.sealRows();
      long end = tail.append(Block.Type.EVENT, Payload.event(placed(event)));
      if (event.kind() != TestEvent.Kind.REJECTED) {
        tail.wantForce(end);
      }
    }
  }

  /**
   * Takes a kept point with its event as one block, and waits (2 s at most) until it is forced.
   *
   * @return whether it is: only then may anyone be told that it is kept
   */
  public Receipt kept(LiftPoint point, TestEvent event) {
    synchronized (tail) {
      tail.sealRows();
      long end = tail.append(Block.Type.KEPT, Payload.kept(point, placed(event)));
      tail.wantForce(end);
      return await(end, limits.patience(), upTo -> settled(main, upTo));
    }
  }

  private TestEvent placed(TestEvent event) {
    return event.after(tail.rows());
  }

  /**
   * Forces all that was taken, waiting 2 s at most: also for a disk that failed, for it may have
   * come back and not have been tried again yet.
   */
  public Receipt force() {
    synchronized (tail) {
      tail.sealRows();
      long end = tail.end();
      tail.wantForce(end);
      return await(end, limits.patience(), main::isSafe);
    }
  }

  /** How safe an earlier thing is now. */
  public Receipt ask(Receipt earlier) {
    synchronized (tail) {
      return receipt(earlier.upTo());
    }
  }

  public State state() {
    synchronized (tail) {
      return new State(
          main.trouble(),
          mirror.flatMap(JournalCopy::trouble),
          tail.waiting() >= limits.memoryBytes());
    }
  }

  /**
   * Has someone told when trouble comes or goes; on a thread of the journal, which waits for it.
   */
  public void onChange(Consumer<State> listener) {
    this.listener = listener;
  }

  private void changed() {
    listener.accept(state());
  }

  private Receipt receipt(long upTo) {
    if (!main.isSafe(upTo)) {
      String reason = main.trouble().orElse("the disk has not taken it yet");
      boolean mirrored = mirror.map(copy -> copy.isSafe(upTo)).orElse(false);
      return new Receipt(
          upTo, Receipt.Safety.NOT_YET, mirrored ? reason + " (it is safe on the mirror)" : reason);
    }
    if (mirror.isPresent() && !mirror.get().isSafe(upTo)) {
      String reason = mirror.get().trouble().orElse("the mirror has not taken it yet");
      return new Receipt(upTo, Receipt.Safety.WITHOUT_MIRROR, reason);
    }
    return new Receipt(upTo, Receipt.Safety.SAFE, "");
  }

  private Receipt await(long upTo, Duration patience, LongPredicate enough) {
    long until = System.nanoTime() + patience.toNanos();
    while (!(enough.test(upTo) && mirror.map(copy -> settled(copy, upTo)).orElse(true))) {
      if (!waitUntil(until)) {
        break;
      }
    }
    return receipt(upTo);
  }

  private static boolean settled(JournalCopy copy, long upTo) {
    return copy.isSafe(upTo) || copy.hasFailed();
  }

  private boolean awaitRoom() {
    long until = System.nanoTime() + limits.patience().toNanos();
    while (tail.waiting() >= limits.memoryBytes()) {
      tail.sealRows();
      tail.wantForce(tail.end());
      if (main.hasFailed() || !waitUntil(until)) {
        return false;
      }
    }
    return true;
  }

  /**
   * Gives up the monitor for a while.
   *
   * @return false when the time is over or the thread was interrupted
   */
  private boolean waitUntil(long until) {
    long left = until - System.nanoTime();
    if (left <= 0) {
      return false;
    }
    try {
      tail.wait(left / 1_000_000 + 1);
      return true;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return false;
    }
  }

  /**
   * Forces what is left and closes the files.
   *
   * @throws IOException when not all of it could be made safe in the test's folder
   */
  @Override
  public void close() throws IOException {
    Receipt last = force();
    for (int more = 0; !last.safe() && more < AT_THE_END && mainIsAtWork(); more++) {
      last = force();
    }
    abandon();
    if (!last.safe()) {
      throw new IOException("the end of the test is not on the disk: " + last.reason());
    }
  }

  private boolean mainIsAtWork() {
    synchronized (tail) {
      return main.isAtWork();
    }
  }

  /** Ends the threads; a disk that does not answer keeps its own until it does. */
  private void abandon() {
    synchronized (tail) {
      tail.closing();
      long until = System.nanoTime() + limits.patience().toNanos();
      while (!main.hasEnded() || !mirror.map(JournalCopy::hasEnded).orElse(true)) {
        if (!waitUntil(until)) {
          return;
        }
      }
    }
  }
}
