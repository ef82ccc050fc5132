package meniscus.drivers.line.playback;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.StringWriter;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import meniscus.core.instrument.Next;
import meniscus.core.instrument.Request;
import meniscus.core.instrument.Settings;
import meniscus.core.time.Moment;
import meniscus.drivers.line.HeardLines;
import meniscus.drivers.line.LineListener;
import meniscus.drivers.line.LineReader;
import meniscus.drivers.line.Lines;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class PlaybackTest {

  private static final String BY_HAND =
      """
      meniscus line recording 1
      # written by hand
      5000000000 ! opened
      5100000000 < P1,+27.984\\r\\n
      5100000000 > AIR?\\r\\n

      5900000000 < \\x00\\xff ends in a blank\\x20
      65900000000 < late
      65900000001 ! lost: the cable is out
      """;

  @TempDir Path folder;

  @Test
  void aRecordingIsPlayedWithItsOwnMoments() throws Exception {
    for (String speed : List.of("full", "recorded")) {
      String text = speed.equals("full") ? BY_HAND : BY_HAND.replace("65900000", "5910000");
      Timeline heard = play(text, speed);
      String late = speed.equals("full") ? "60900" : "910";
      assertEquals(
          List.of(
              "0 opened",
              "100 P1,+27.984\r\n",
              "900 \0\u00ff ends in a blank ",
              late + " late",
              late + " ended"),
          heard.events);
    }
  }

  @Test
  void ticksFallBetweenTheRecordedChunksAsTheyDidLive() throws Exception {
    Timeline heard =
        new Timeline() {
          @Override
          public Next opened(Moment at) {
            super.opened(at);
            return Next.wake(at.plusSeconds(20));
          }

          @Override
          public Next bytes(Moment at, ByteBuffer bytes) {
            super.bytes(at, bytes);
            return Next.wake(at.plusSeconds(20));
          }
        };
    play(BY_HAND, "full", heard);
    assertEquals("20900 tick", heard.events.get(3));
    assertEquals("60900 late", heard.events.get(4));
  }

  @Test
  void whatWasHeardAndSaidIsWrittenDownAndPlayedBackTheSame() throws Exception {
    StringWriter written = new StringWriter();
    Timeline first =
        new Timeline() {
          @Override
          public Next bytes(Moment at, ByteBuffer bytes) {
            super.bytes(at, bytes);
            return Next.send(Request.ofText("AIR?\r\n"), at.plusSeconds(1000));
          }
        };
    play(BY_HAND, "full", RecordingListener.begin(first, written));
    assertTrue(written.toString().contains("100000000 > AIR?\\r\\n\n"), written::toString);
    assertTrue(written.toString().contains("0 ! opened\n"), written::toString);
    assertEquals(first.events, play(written.toString(), "full").events);
  }

  @Test
  void aDamagedRecordingSaysWhereAndIsNotPlayedTwice() throws Exception {
    assertStops("meniscus line recording 1\n0 < a\nx < b\n", "line 3");
    assertStops("meniscus line recording 1\n5 < a\n4 < b\n", "line 3: the moment falls");
    assertStops("meniscus line recording 1\n0 < a\n1 ? b\n", "line 3: after the moment");
    assertStops("meniscus line recording 1\n0 < a\n1 < \\q\n", "line 3: after the backslash");
    assertStops("P1,+27.984\n", "its first line must be");
  }

  @Test
  void anUnknownSpeedIsRefused() {
    IllegalArgumentException refused =
        assertThrows(
            IllegalArgumentException.class,
            () ->
                Lines.opener(
                    new Settings(
                        "bench", Map.of("kind", "playback", "file", "x", "speed", "double"))));
    assertTrue(refused.getMessage().contains("recorded or full"), refused::getMessage);
  }

  private void assertStops(String recording, String where) throws Exception {
    HeardLines heard = new HeardLines();
    try (LineReader reader = reader(recording, "full", heard)) {
      String said = heard.next();
      while (!said.contains("waiting")) {
        assertTrue(said.equals("opened") || said.contains(where), said);
        said = heard.next();
      }
      assertTrue(said.contains(where) || said.contains("has been played"), said);
      assertFalse(reader.join(1), "it goes on trying until it is closed");
    }
  }

  private Timeline play(String recording, String speed) throws Exception {
    Timeline heard = new Timeline();
    play(recording, speed, heard);
    return heard;
  }

  private void play(String recording, String speed, LineListener listener) throws Exception {
    try (LineReader reader = reader(recording, speed, listener)) {
      assertTrue(reader.join(20_000), "the playback does not end");
    }
  }

  private LineReader reader(String recording, String speed, LineListener listener)
      throws Exception {
    Path file = Files.writeString(folder.resolve("run.bytes"), recording);
    return LineReader.start(
        Lines.opener(
            new Settings(
                "bench", Map.of("kind", "playback", "file", file.toString(), "speed", speed))),
        () -> Moment.START,
        listener);
  }

  /** Writes down what is heard, with milliseconds since the start. */
  private static class Timeline implements LineListener {
    final List<String> events = new ArrayList<>();

    private void add(Moment at, String what) {
      events.add(Math.round(at.seconds() * 1e3) + " " + what);
    }

    @Override
    public Next opened(Moment at) {
      add(at, "opened");
      return Next.NOTHING;
    }

    @Override
    public Next bytes(Moment at, ByteBuffer bytes) {
      add(at, StandardCharsets.ISO_8859_1.decode(bytes.duplicate()).toString());
      return Next.NOTHING;
    }

    @Override
    public Next tick(Moment at) {
      add(at, "tick");
      return Next.NOTHING;
    }

    @Override
    public void lost(Moment at, String reason) {
      add(at, "lost " + reason);
    }

    @Override
    public void waiting(Moment at, String reason) {
      add(at, "waiting " + reason);
    }

    @Override
    public void ended(Moment at) {
      add(at, "ended");
    }
  }
}
