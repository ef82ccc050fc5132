package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.CountDownLatch;
import meniscus.recorder.json.JsonOut;
import meniscus.recorder.page.http.ControlLease;
import meniscus.recorder.page.http.LiveEvents;
import meniscus.recorder.page.http.Viewer;
import org.junit.jupiter.api.Test;

/** Nothing lasting is missed, and nobody waits for a slow viewer. */
class LiveEventsTest {

  private final LiveEvents events = new LiveEvents();

  private static JsonNode text(String text) {
    return JsonOut.object().put("text", text);
  }

  private static String served(Viewer viewer) throws IOException, InterruptedException {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    // Dropped on its first write: what waited is written, then the viewer goes.
    viewer.serve(
        new OutputStream() {
          @Override
          public void write(int b) {
            out.write(b);
          }

          @Override
          public void write(byte[] bytes, int from, int count) {
            out.write(bytes, from, count);
            if (!new String(bytes, StandardCharsets.UTF_8).startsWith("retry")) {
              viewer.drop();
            }
          }
        },
        () -> true);
    return out.toString(StandardCharsets.UTF_8);
  }

  @Test
  void aViewerThatComesAgainGetsWhatItMissed() throws Exception {
    events.tell("told", text("one"));
    String after = events.id();
    events.tell("told", text("two"));
    events.tell("told", text("three"));
    String served = served(events.join("", after));
    assertFalse(served.contains("one"), served);
    assertTrue(
        served.indexOf("two") > 0 && served.indexOf("two") < served.indexOf("three"), served);
    assertFalse(served.contains("reset"), served);
  }

  @Test
  void whoMissedTooMuchAsksForAllAnew() throws Exception {
    events.tell("told", text("one"));
    String after = events.id();
    for (int i = 0; i < 600; i++) {
      events.tell("told", text("more"));
    }
    assertTrue(served(events.join("", after)).contains("event: reset"));
  }

  @Test
  void anIdOfAnEarlierRunOfTheProgramMeansAllAnew() throws Exception {
    events.tell("told", text("one"));
    assertTrue(served(events.join("", "00000000-1")).contains("event: reset"));
    assertTrue(served(events.join("", "nonsense")).contains("event: reset"));
    assertTrue(served(events.join("", events.id() + "0")).contains("event: reset"));
  }

  @Test
  void aViewerThatDoesNotReadKeepsNobodyWaiting() throws Exception {
    Viewer slow = events.join("", "");
    CountDownLatch stuck = new CountDownLatch(1);
    CountDownLatch never = new CountDownLatch(1);
    Thread writer =
        new Thread(
            () -> {
              try {
                slow.serve(
                    new OutputStream() {
                      @Override
                      public void write(int b) {}

                      @Override
                      public void write(byte[] bytes, int from, int count) throws IOException {
                        if (!new String(bytes, StandardCharsets.UTF_8).startsWith("retry")) {
                          stuck.countDown();
                          try {
                            never.await();
                          } catch (InterruptedException e) {
                            throw new IOException("broken off", e);
                          }
                        }
                      }
                    },
                    () -> true);
              } catch (IOException | InterruptedException e) {
                // Dropped, as it should be.
              }
            });
    writer.start();
    events.tell("told", text("first"));
    stuck.await();
    for (int i = 0; i < 100_000; i++) {
      events.show("state", () -> text("state"));
    }
    long missed = events.counted().statesMissed();
    assertTrue(missed >= 100_000 - 40, "all but those that still wait are counted: " + missed);
    for (int i = 0; i < 700; i++) {
      events.tell("told", text("more"));
    }
    writer.join(10_000);
    assertFalse(writer.isAlive(), "a viewer with too much waiting is dropped");
    events.leave(slow);
    assertEquals(new LiveEvents.Count(0, missed, 1), events.counted());
  }

  @Test
  void statesAreNotWorkedOutForNobody() {
    int[] asked = {0};
    events.show(
        "state",
        () -> {
          asked[0]++;
          return text("state");
        });
    assertEquals(0, asked[0]);
  }

  @Test
  void theFirstPageIsInChargeUntilAnotherTakesOver() {
    boolean[] open = {true};
    ControlLease charge = new ControlLease(client -> open[0]);
    assertTrue(charge.opened("first-page"));
    assertFalse(charge.opened("second-page"));
    assertTrue(charge.allows("first-page"));
    assertFalse(charge.allows("second-page"));
    assertFalse(charge.allows(""), "nor a script");
    assertTrue(charge.take("second-page"));
    assertFalse(charge.allows("first-page"));
    open[0] = false;
    assertTrue(charge.allows("first-page"), "whoever closed the page holds nothing back");
    assertTrue(charge.isHolder("first-page"));
  }
}
