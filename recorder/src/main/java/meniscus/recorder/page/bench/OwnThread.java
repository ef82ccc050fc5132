package meniscus.recorder.page.bench;

import java.util.Optional;

/**
 * The thread that something of the page runs on: one at a time, and it ends when it is asked to.
 */
public final class OwnThread {

  private static final long LONGEST_MILLIS = 5_000; // our own choice: a page that closes may wait

  private final String name;
  private final boolean daemon;
  private Optional<Thread> running = Optional.empty();

  /**
   * @param daemon false for what the program is not to end without
   */
  public OwnThread(String name, boolean daemon) {
    this.name = name;
    this.daemon = daemon;
  }

  /** Begins; what ran before has ended. */
  public synchronized void begin(Runnable work) {
    Thread thread = new Thread(work, name);
    thread.setDaemon(daemon);
    running = Optional.of(thread);
    thread.start();
  }

  /** Interrupts what runs, and waits a while for its end; the lock is free meanwhile. */
  public void end() {
    Optional<Thread> ends;
    synchronized (this) {
      ends = running;
      running = Optional.empty();
    }
    ends.ifPresent(
        thread -> {
          thread.interrupt();
          try {
            thread.join(LONGEST_MILLIS);
          } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
          }
        });
  }
}
