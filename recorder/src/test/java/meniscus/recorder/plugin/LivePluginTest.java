package meniscus.recorder.plugin;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.DoubleStream;
import meniscus.core.bench.Bench;
import meniscus.core.time.Moment;
import meniscus.recorder.feed.BenchEvent;
import meniscus.recorder.feed.Feeds;
import meniscus.recorder.feed.LiveFeed;
import meniscus.recorder.file.BenchFile;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Drivers that fail in the middle of their work, beside one that does not. */
@Tag("long")
class LivePluginTest {

  private static final int AT_LEAST = 2_000;
  private static final double PATIENCE_SECONDS = 120;

  @TempDir private Path temp;
  private final Map<String, ServerSocket> servers = new LinkedHashMap<>();

  @Test
  void whatFailsLaterIsSetAsideAndTheOthersLoseNoReading() throws Exception {
    Path plugins = Files.createDirectory(temp.resolve("plugins"));
    add(plugins, "good", "");
    add(plugins, "hangs", JarMaker.HANG);
    add(plugins, "throws", "if (true) throw new AssertionError(\"broken\");");
    add(plugins, "deep", "bytes(at, ByteBuffer.wrap(new byte[] {10}), sink);");
    add(
        plugins,
        "floods",
        "for (boolean ever = true; ever; ) { sink.reading(0, 1, at); sink.frame(at); }");
    add(plugins, "nothing", "if (true) return null;");
    add(
        plugins,
        "rude",
        "if (true) throw new Error() { public String getMessage() { throw new Error(); } };");
    add(plugins, "hoards", "long[] hoard = new long[1 << 30]; value += hoard.length;");

    List<Double> heard = new ArrayList<>();
    Map<String, String> lost = new TreeMap<>();
    Bench bench = bench();
    List<String> ids = List.copyOf(servers.keySet());
    try (LiveFeed feed =
            new LiveFeed(
                bench,
                Feeds.wire(
                    bench,
                    temp.resolve("bench.json"),
                    PluginFolder.read(plugins, Trust.IN_ALL).drivers()),
                () -> new Moment(System.nanoTime()));
        Lines lines = new Lines()) {
      int said = 0;
      double until = feed.now().seconds() + PATIENCE_SECONDS;
      while ((lost.size() < ids.size() - 1 || heard.size() < AT_LEAST)
          && feed.now().seconds() < until) {
        // A new line when the one before the last is read: as fast as it goes, and no faster.
        if (said - heard.size() < 2) {
          lines.say("good", ++said + "\n");
        }
        feed.next(0.01)
            .ifPresent(
                happening -> {
                  String id = ids.get(happening.instrument());
                  if (happening instanceof BenchEvent.Lost gone) {
                    lost.put(id, gone.reason());
                  } else if (happening instanceof BenchEvent.Arrived arrived && id.equals("good")) {
                    heard.add(arrived.frame().valuesSi()[0]);
                  }
                });
      }
    }

    assertEquals(
        DoubleStream.iterate(1, next -> next + 1).limit(heard.size()).boxed().toList(), heard);
    assertTrue(heard.size() >= AT_LEAST, heard.size() + " readings");
    assertEquals(
        List.of("deep", "floods", "hangs", "hoards", "nothing", "rude", "throws"),
        List.copyOf(lost.keySet()));
    lost.forEach(
        (id, reason) ->
            assertTrue(
                reason.startsWith("the driver \"" + id + "\" ")
                    && reason.endsWith(" is set aside; the other instruments go on"),
                reason));
    assertTrue(lost.get("hangs").contains("does not come back from a call"), lost.get("hangs"));
    assertTrue(lost.get("throws").contains("broken"), lost.get("throws"));
    assertTrue(lost.get("deep").contains("StackOverflowError"), lost.get("deep"));
    assertTrue(lost.get("hoards").contains("OutOfMemoryError"), lost.get("hoards"));
  }

  private void add(Path plugins, String id, String failing) throws IOException {
    String name = id.substring(0, 1).toUpperCase(java.util.Locale.ROOT) + id.substring(1);
    new JarMaker(temp).driver(name, id, "/*line*/", failing).into(plugins.resolve(id + ".jar"));
    Files.writeString(
        temp.resolve(id + ".json"),
        "{\"meniscus\": \"sheet/1\", \"name\": \"gauge\", \"driver\": \"" + id + "\"}");
    servers.put(id, new ServerSocket(0, 1, InetAddress.getLoopbackAddress()));
  }

  private Bench bench() throws IOException {
    List<String> instruments = new ArrayList<>();
    servers.forEach(
        (id, server) ->
            instruments.add(
                "{\"id\": \"%s\", \"sheet\": \"%s.json\", \"line\": {\"kind\": \"tcp\", \"host\": \"127.0.0.1\", \"port\": %d}}"
                    .formatted(id, id, server.getLocalPort())));
    String text;
    try (var in = Feeds.class.getResourceAsStream("/meniscus/recorder/record/bench.json")) {
      text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
    String changed =
        text.replaceFirst(
            "(?s)\"instruments\": \\[.*?\\n  \\]",
            "\"instruments\": [" + String.join(",", instruments) + "]");
    for (String gauge : List.of("manometer", "dial", "station")) {
      changed = changed.replace("\"instrument\": \"" + gauge, "\"instrument\": \"good");
    }
    Files.writeString(temp.resolve("bench.json"), changed);
    return BenchFile.read(temp.resolve("bench.json"));
  }

  /** The far ends; each says one line when it is connected to. */
  private final class Lines implements AutoCloseable {
    private final Map<String, Socket> sockets = new TreeMap<>();

    Lines() throws IOException {
      for (Map.Entry<String, ServerSocket> server : servers.entrySet()) {
        sockets.put(server.getKey(), server.getValue().accept());
        if (!server.getKey().equals("good")) {
          say(server.getKey(), "7\n");
        }
      }
    }

    void say(String id, String text) {
      try {
        sockets.get(id).getOutputStream().write(text.getBytes(StandardCharsets.US_ASCII));
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }

    @Override
    public void close() throws IOException {
      for (ServerSocket server : servers.values()) {
        server.close();
      }
      for (Socket socket : sockets.values()) {
        socket.close();
      }
    }
  }
}
