package meniscus.recorder.hostile;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;

/**
 * Hostile cases one after the other, watched. A case may end well or be refused in words. What it
 * may not do: throw anything else, say something that a terminal would not show as it stands, need
 * more than a second of the processor or 256 MiB of memory, or never come back.
 */
public final class Onslaught {

  private static final long MOST_PROCESSOR_NANOS = TimeUnit.SECONDS.toNanos(1);
  private static final long MOST_BYTES = 256L << 20;

  /**
   * On a loaded machine a second of the processor may take long on the wall. Looks are counted, not
   * seconds, so that a program that was stopped and let go on is not taken for one that hangs.
   */
  private static final int HANGS_LOOKS = 120;

  private static final int LOOK_MILLIS = 500;
  private static final int TELL_AFTER = 100_000;

  /** The full size of a run; {@code -Dmeniscus.cases=N} for another one. */
  public static final int FULL = Integer.getInteger("meniscus.cases", 1_000_000);

  private static final int LONGEST_MESSAGE = 2_000;

  private final String what;
  private final long seed;
  private final ThreadMXBean threads = (ThreadMXBean) ManagementFactory.getThreadMXBean();
  private volatile int running;
  private volatile Throwable failure;
  private int refused;
  private long allNanos;
  private long longestNanos;
  private long mostBytes;

  /** Makes the input of a case. */
  @FunctionalInterface
  public interface Maker<T> {
    T make(Random random) throws Exception;
  }

  /** Takes the input of a case: this is what is watched. */
  @FunctionalInterface
  public interface Taker<T> {

    /**
     * @return what the input was refused with; empty when it was accepted
     */
    String refusal(T input) throws Exception;
  }

  /**
   * What a case has cost.
   *
   * @param nanos of the processor
   * @param bytes of memory, short-lived or not
   */
  public record Cost(long nanos, long bytes) {}

  /** Measures a case. */
  public interface Meter {
    void begin();

    Cost end();
  }

  /** Of the thread that it is made on. */
  private final class OwnThread implements Meter {
    private final long id = Thread.currentThread().getId();
    private long nanos;
    private long bytes;

    @Override
    public void begin() {
      bytes = threads.getThreadAllocatedBytes(id);
      nanos = threads.getCurrentThreadCpuTime();
    }

    @Override
    public Cost end() {
      return new Cost(
          threads.getCurrentThreadCpuTime() - nanos, threads.getThreadAllocatedBytes(id) - bytes);
    }
  }

  private Onslaught(String what, long seed) {
    this.what = what;
    this.seed = seed;
  }

  /**
   * Runs all cases and prints what they cost.
   *
   * @return how many were refused
   */
  public static <T> int run(String what, int cases, long seed, Maker<T> maker, Taker<T> taker)
      throws InterruptedException {
    return run(what, cases, seed, maker, taker, Optional.empty());
  }

  /** The same where the work is done on other threads than the taker's. */
  public static <T> int run(
      String what, int cases, long seed, Maker<T> maker, Taker<T> taker, Optional<Meter> meter)
      throws InterruptedException {
    return new Onslaught(what, seed).run(cases, maker, taker, meter);
  }

  private <T> int run(int cases, Maker<T> maker, Taker<T> taker, Optional<Meter> meter)
      throws InterruptedException {
    Thread thread =
        new Thread(() -> all(cases, maker, taker, meter.orElseGet(OwnThread::new)), what);
    thread.setDaemon(true);
    thread.start();
    int seen = -1;
    int looks = 0;
    while (thread.isAlive()) {
      thread.join(LOOK_MILLIS);
      if (running != seen) {
        seen = running;
        looks = 0;
      } else if (++looks > HANGS_LOOKS) {
        AssertionError hangs = new AssertionError(where(seen) + " does not come back");
        hangs.setStackTrace(thread.getStackTrace());
        throw hangs;
      }
    }
    if (failure != null) {
      throw new AssertionError(where(running) + ": " + failure, failure);
    }
    tell(cases);
    return refused;
  }

  /** Says what the cases so far have cost; a long run says it now and then. */
  private void tell(int done) {
    System.out.printf(
        Locale.ROOT,
        "%s: %d cases, seed %d: %d refused, %d accepted; %.2f ms of the processor on average; most"
            + " for one case: %.0f ms, %.1f MiB of memory%n",
        what,
        done,
        seed,
        refused,
        done - refused,
        allNanos / 1e6 / done,
        longestNanos / 1e6,
        mostBytes / (double) (1 << 20));
  }

  private String where(int number) {
    return what + ", case " + number + ", seed " + seed;
  }

  private <T> void all(int cases, Maker<T> maker, Taker<T> taker, Meter meter) {
    try {
      for (int i = 0; i < cases; i++) {
        running = i;
        // A generator for each case: any of them can be had again alone.
        Random random = new Random(new SplittableRandom(seed + i).nextLong());
        T input = maker.make(random);
        meter.begin();
        String refusal = taker.refusal(input);
        Cost cost = meter.end();
        allNanos += cost.nanos;
        longestNanos = Math.max(longestNanos, cost.nanos);
        mostBytes = Math.max(mostBytes, cost.bytes);
        long millis = TimeUnit.NANOSECONDS.toMillis(cost.nanos);
        check(cost.nanos <= MOST_PROCESSOR_NANOS, "took " + millis + " ms of the processor");
        check(cost.bytes <= MOST_BYTES, "took " + (cost.bytes >> 20) + " MiB of memory");
        if (!refusal.isEmpty()) {
          refused++;
          checkWords(refusal);
        }
        if ((i + 1) % TELL_AFTER == 0 && i + 1 < cases) {
          tell(i + 1);
        }
      }
    } catch (Throwable e) {
      failure = e;
    }
  }

  private static void checkWords(String message) {
    String start = message.substring(0, Math.min(300, message.length()));
    check(message.length() >= 10, "says no more than: " + message);
    check(message.length() <= LONGEST_MESSAGE, message.length() + " characters: " + start);
    check(!message.contains("Exception"), "says: " + start);
    check(message.chars().noneMatch(Onslaught::isOdd), "has a control character: " + start);
  }

  private static boolean isOdd(int c) {
    return c != '\n' && c != '\t' && Character.isISOControl(c);
  }

  private static void check(boolean right, String otherwise) {
    if (!right) {
      throw new AssertionError(otherwise);
    }
  }
}
