package meniscus.recorder.page;

import java.io.IOException;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.function.LongSupplier;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.Response;

/**
 * Answers that take a processor for long, such as reports. A browser that hangs up does not end the
 * work that it asked for, so there is never more than a little of it: two answers at a time for the
 * bench's own page, one for all guests together, who wait between two as long as the last one took.
 * So guests leave at least half of one processor to the test.
 */
final class HeavyWork {

  private static final int OWN_AT_A_TIME = 2;

  /** Guests' questions that may wait; more are sent away at once. */
  private static final int GUESTS_WAITING = 4;

  /** Our own choice: a person gives up before, and a report of forty tests takes less. */
  private static final long LONGEST_WAIT_SECONDS = 15;

  private static final long LONGEST_REST_NANOS = TimeUnit.SECONDS.toNanos(10);

  private final Semaphore own = new Semaphore(OWN_AT_A_TIME, true);
  private final Semaphore guests = new Semaphore(1, true);
  private final Semaphore waiting = new Semaphore(GUESTS_WAITING + 1);
  private final LongSupplier clock;
  private final Rest rest;
  private long guestsRestUntil;

  /** The work. */
  interface Work {
    Response done() throws HttpError, IOException;
  }

  /** Lets time pass. */
  interface Rest {
    void nanos(long nanos) throws InterruptedException;
  }

  /**
   * @param clock nanoseconds, rising
   */
  HeavyWork(LongSupplier clock, Rest rest) {
    this.clock = clock;
    this.rest = rest;
    this.guestsRestUntil = clock.getAsLong();
  }

  /**
   * @throws HttpError 429 or 503 when too much is asked at once
   */
  Response answer(boolean guest, Work work) throws HttpError, IOException {
    return guest ? forGuests(work) : inTurn(own, work);
  }

  private Response forGuests(Work work) throws HttpError, IOException {
    if (!waiting.tryAcquire()) {
      throw HttpError.tooOften("others are waiting for answers already: ask again in a moment");
    }
    try {
      return inTurn(guests, () -> rested(work));
    } finally {
      waiting.release();
    }
  }

  /** Only one is in here at a time. */
  private Response rested(Work work) throws HttpError, IOException {
    long until = guestsRestUntil - clock.getAsLong();
    if (until > 0) {
      pause(Math.min(until, LONGEST_REST_NANOS));
    }
    long begun = clock.getAsLong();
    try {
      return work.done();
    } finally {
      long now = clock.getAsLong();
      guestsRestUntil = now + (now - begun);
    }
  }

  private void pause(long nanos) throws HttpError {
    try {
      rest.nanos(nanos);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw HttpError.full("the page is closing");
    }
  }

  private static Response inTurn(Semaphore turns, Work work) throws HttpError, IOException {
    try {
      if (!turns.tryAcquire(LONGEST_WAIT_SECONDS, TimeUnit.SECONDS)) {
        throw HttpError.full("the page is busy with other answers: ask again in a moment");
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw HttpError.full("the page is closing");
    }
    try {
      return work.done();
    } finally {
      turns.release();
    }
  }
}
