package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLong;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.Response;
import org.junit.jupiter.api.Test;

/** However many ask for reports, and hang up, little of that work is done at a time. */
class HeavyWorkTest {

  private static final Response DONE = Response.error(200, "done");

  private final AtomicLong clock = new AtomicLong();
  private final List<Long> rests = new ArrayList<>();
  private final HeavyWork heavy =
      new HeavyWork(
          clock::get,
          nanos -> {
            rests.add(nanos);
            clock.addAndGet(nanos);
          });

  @Test
  void guestsWaitBetweenTwoAnswersAsLongAsTheLastOneTook() throws Exception {
    for (int i = 0; i < 3; i++) {
      heavy.answer(
          true,
          () -> {
            clock.addAndGet(700);
            return DONE;
          });
    }
    assertEquals(List.of(700L, 700L), rests);
    clock.addAndGet(1_000);
    heavy.answer(true, () -> DONE);
    assertEquals(2, rests.size(), "nobody waits for what is over");
  }

  /** Starts work that goes on until the gate opens. */
  private CompletableFuture<Integer> ask(
      boolean guest, CountDownLatch gate, AtomicInteger atWork, AtomicInteger most) {
    CompletableFuture<Integer> answer = new CompletableFuture<>();
    Thread thread =
        new Thread(
            () -> {
              try {
                answer.complete(
                    heavy
                        .answer(
                            guest,
                            () -> {
                              most.accumulateAndGet(atWork.incrementAndGet(), Math::max);
                              awaitOpen(gate);
                              atWork.decrementAndGet();
                              return DONE;
                            })
                        .status());
              } catch (HttpError e) {
                answer.complete(e.status());
              } catch (Exception e) {
                answer.completeExceptionally(e);
              }
            });
    thread.setDaemon(true);
    thread.start();
    return answer;
  }

  private static void awaitOpen(CountDownLatch gate) {
    try {
      gate.await();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Test
  void oneAnswerAtATimeForAllGuestsAndFourMayWait() throws Exception {
    CountDownLatch gate = new CountDownLatch(1);
    AtomicInteger atWork = new AtomicInteger();
    AtomicInteger most = new AtomicInteger();
    List<CompletableFuture<Integer>> asked = new ArrayList<>();
    for (int i = 0; i < 12; i++) {
      asked.add(ask(true, gate, atWork, most));
    }
    // Seven of the twelve are sent away at once; only then may the first go on.
    CompletableFuture<?> away =
        CompletableFuture.allOf(
            CompletableFuture.runAsync(
                () -> {
                  while (asked.stream().filter(CompletableFuture::isDone).count() < 7) {
                    Thread.onSpinWait();
                  }
                }));
    away.get();
    assertEquals(429, asked.stream().filter(CompletableFuture::isDone).findFirst().get().get());
    gate.countDown();
    int answered = 0;
    for (CompletableFuture<Integer> each : asked) {
      answered += each.get() == 200 ? 1 : 0;
    }
    assertEquals(5, answered);
    assertEquals(1, most.get());
  }

  @Test
  void guestsDoNotTakeTheTurnsOfTheBenchsOwnPage() throws Exception {
    CountDownLatch gate = new CountDownLatch(1);
    AtomicInteger atWork = new AtomicInteger();
    CompletableFuture<Integer> guest = ask(true, gate, atWork, new AtomicInteger());
    assertEquals(200, heavy.answer(false, () -> DONE).status());
    gate.countDown();
    assertEquals(200, guest.get());
  }

  @Test
  void workThatFailsGivesItsTurnBack() throws ExecutionException, InterruptedException {
    for (int i = 0; i < 20; i++) {
      assertThrows(
          IllegalStateException.class,
          () ->
              heavy.answer(
                  true,
                  () -> {
                    throw new IllegalStateException("on purpose");
                  }));
    }
  }
}
