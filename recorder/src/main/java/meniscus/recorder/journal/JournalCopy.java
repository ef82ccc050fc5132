package meniscus.recorder.journal;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.recorder.disk.Disk;
import meniscus.recorder.disk.Trouble;

/**
 * One file that follows the tail of the journal, on a thread of its own so that a stalled disk
 * stalls nobody else. A write goes to its own place in the file: one that failed is done again
 * there, whole, so no half block is ever followed by another.
 */
final class JournalCopy implements Runnable, Fallback {

  private final Disk disk;
  private final Path file;
  private final Unforced tail;
  private final JournalLimits limits;
  private final boolean leads;
  private final Runnable changed;
  private final Thread thread;

  /** Where this copy finds what the tail no longer holds. */
  private volatile List<Fallback> others = List.of();

  /** The removed file, still open, until its content is in the new one. */
  private Disk.OpenFile removed;

  private volatile Disk.OpenFile open;
  private boolean reopen;

  // Guarded by the tail.
  private long written;
  private long forced;
  private long forcedAt = System.nanoTime();
  private long busySince;
  private String trouble;
  private boolean ended;

  /**
   * @param open the file
   * @param written bytes in it that are right
   * @param leads true for the one whose forced bytes the tail may let go
   * @param changed told, without the monitor, when trouble comes or goes
   */
  JournalCopy(
      Disk disk,
      Path file,
      Disk.OpenFile open,
      long written,
      Unforced tail,
      JournalLimits limits,
      boolean leads,
      Runnable changed) {
    this.disk = disk;
    this.file = file;
    this.open = open;
    this.written = written;
    this.tail = tail;
    this.limits = limits;
    this.leads = leads;
    this.changed = changed;
    this.thread = new Thread(this, "journal " + file);
    thread.setDaemon(true);
  }

  void start(List<Fallback> others) {
    others(others);
    thread.start();
  }

  void others(List<Fallback> others) {
    this.others = List.copyOf(others);
  }

  /** Called while holding the tail. */
  boolean isSafe(long upTo) {
    return forced >= upTo;
  }

  /** Called while holding the tail. */
  boolean hasFailed() {
    return trouble != null;
  }

  /** Called while holding the tail. True between the begin of a write and what came of it. */
  boolean isAtWork() {
    return busySince != 0;
  }

  /** Called while holding the tail. Says so too when a write has not come back for long. */
  Optional<String> trouble() {
    if (trouble == null && busySince != 0 && age(busySince) > limits.patience().toNanos()) {
      return Optional.of("the disk of " + file.getParent() + " is slow: a write has not come back");
    }
    return Optional.ofNullable(trouble);
  }

  /** Called while holding the tail. */
  boolean hasEnded() {
    return ended;
  }

  @Override
  public int read(long position, ByteBuffer into) throws IOException {
    return open.read(position, into);
  }

  @Override
  public void run() {
    while (awaitWork()) {
      try {
        follow();
        report(null);
      } catch (IOException | RuntimeException e) {
        report(Trouble.inWords(e, file, disk));
        reopen = true;
        pause();
      }
    }
    close();
  }

  /**
   * @return false when all is done and the journal is closing
   */
  private boolean awaitWork() {
    synchronized (tail) {
      while (true) {
        if (leads) {
          tail.sealRowsOlderThan(limits.rowAge().toNanos());
        }
        if (written < tail.end() || mustForce() || trouble != null && !tail.isClosing()) {
          busySince = System.nanoTime();
          return !(tail.isClosing() && trouble != null);
        }
        if (tail.isClosing()) {
          return false;
        }
        await(limits.rowAge().toMillis());
      }
    }
  }

  private boolean mustForce() {
    return forced < tail.forceWanted()
        || forced < written && age(forcedAt) > limits.forceEvery().toNanos();
  }

  private void follow() throws IOException {
    if (reopen) {
      reopen();
    }
    ByteBuffer next = next();
    while (next != null) {
      write(next);
      next = next();
    }
    boolean force;
    synchronized (tail) {
      force = mustForce();
    }
    if (force) {
      force();
    }
  }

  /** The bytes that come next, or null when the file has them all. */
  private ByteBuffer next() throws IOException {
    long position;
    synchronized (tail) {
      position = written;
      if (position >= tail.end()) {
        return null;
      }
      if (position >= tail.start()) {
        return tail.from(position);
      }
    }
    return older(position, (int) Math.min(1 << 20, tailStart() - position));
  }

  private ByteBuffer older(long position, int length) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(length);
    List<Fallback> sources = new ArrayList<>(others);
    if (removed != null) {
      sources.add(removed::read);
    }
    for (Fallback source : sources) {
      try {
        if (source.read(position, bytes.clear()) > 0) {
          return bytes.flip();
        }
      } catch (IOException e) {
        continue; // The next one may have it.
      }
    }
    throw new IOException("its earlier part is gone, and no other copy has it");
  }

  private long tailStart() {
    synchronized (tail) {
      return tail.start();
    }
  }

  private void write(ByteBuffer bytes) throws IOException {
    while (bytes.hasRemaining()) {
      int count = open.write(written, bytes);
      if (count <= 0) {
        throw new IOException("nothing more is taken");
      }
      synchronized (tail) {
        written += count;
        busySince = System.nanoTime();
      }
    }
  }

  /** After a failed force nothing written since the last good one is trusted any more. */
  private void force() throws IOException {
    long upTo = written;
    boolean first = forced == 0;
    try {
      open.force();
      if (first) {
        disk.forceFolder(file.getParent());
      }
      if (!disk.exists(file)) {
        throw new NoSuchFileException(file.toString());
      }
    } catch (IOException e) {
      synchronized (tail) {
        written = forced;
      }
      throw e;
    }
    synchronized (tail) {
      forced = upTo;
      forcedAt = System.nanoTime();
      if (leads) {
        tail.forget(forced);
      }
      // At once: whoever sees that it is safe must not find the old trouble at the next keep.
      report(null);
    }
    if (removed != null) {
      removed.close();
      removed = null;
    }
  }

  /**
   * After trouble: the disk may have been pulled and put back, or the file removed. What is in the
   * file up to the last good force is right if it is still this journal; else all is copied anew
   * from elsewhere.
   */
  private void reopen() throws IOException {
    boolean there = disk.exists(file);
    if (!there && tailStart() > 0) {
      if (removed == null) {
        removed = open;
      }
      older(0, 1); // Before an empty file is made: is there anything to fill it with?
    }
    Disk.OpenFile again = disk.write(file);
    long size = again.size();
    if (!Block.startsWith(again, tail.journal())) {
      again.close();
      throw new IOException("another journal lies in its place");
    }
    Disk.OpenFile before = open;
    open = again;
    reopen = false;
    synchronized (tail) {
      forced = Math.min(forced, size);
      written = forced;
    }
    if (before != removed) {
      before.close();
    }
  }

  /** Whoever sees the disk in another state finds that it was told. */
  private void report(String now) {
    synchronized (tail) {
      boolean news = (trouble == null) != (now == null);
      trouble = now;
      busySince = 0;
      if (news) {
        changed.run();
      }
      tail.notifyAll();
    }
  }

  private void pause() {
    synchronized (tail) {
      long until = System.nanoTime() + limits.retry().toNanos();
      while (!tail.isClosing() && System.nanoTime() < until) {
        await(Math.max(1, (until - System.nanoTime()) / 1_000_000));
      }
    }
  }

  private void await(long millis) {
    try {
      tail.wait(millis);
    } catch (InterruptedException e) {
      throw new IllegalStateException("nobody interrupts the thread of a journal", e);
    }
  }

  private void close() {
    try {
      open.close();
    } catch (IOException e) {
      report(Trouble.inWords(e, file, disk));
    }
    synchronized (tail) {
      ended = true;
      tail.notifyAll();
    }
  }

  private static long age(long since) {
    return System.nanoTime() - since;
  }
}
