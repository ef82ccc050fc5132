package meniscus.recorder.power;

import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.zip.GZIPInputStream;
import java.util.zip.GZIPOutputStream;
import meniscus.recorder.record.Recorder;

/**
 * What reached a disk, what it was asked to force, and what was told to the operator meanwhile, in
 * one order.
 *
 * @param size of the disk [bytes]
 * @param events from an empty disk on; the writes before the first flush are the file system as it
 *     was made
 */
record DiskLog(int size, List<Event> events) {

  /** A power cut loses any of these, each by itself; the page of the kernel's cache. */
  private static final int PIECE = 4096;

  sealed interface Event {}

  record Write(long at, byte[] bytes) implements Event {}

  record Flush() implements Event {}

  /** A whole line on the console. */
  record Line(String text) implements Event {}

  /** What becomes of the writes that no flush has followed. */
  enum Loss {
    ALL_LOST,
    SOME_LOST,
    NONE_LOST
  }

  DiskLog {
    events = List.copyOf(events);
  }

  /**
   * What the disk holds when the power goes.
   *
   * @param cut so many events have come
   */
  byte[] cut(int cut, Loss loss, Random random) {
    return image(cut, lastFlush(cut, 1), loss, random);
  }

  /**
   * The same of a disk that lies: the last flushes were answered and not done.
   *
   * @param lies so many of them
   */
  byte[] cutOfALiar(int cut, int lies) {
    int flush = lastFlush(cut, lies + 1);
    return image(flush, flush, Loss.ALL_LOST, new Random(0));
  }

  private int lastFlush(int cut, int which) {
    int left = which;
    for (int i = cut - 1; i >= 0; i--) {
      if (events.get(i) instanceof Flush && --left == 0) {
        return i;
      }
    }
    return 0;
  }

  private byte[] image(int cut, int flush, Loss loss, Random random) {
    byte[] image = new byte[size];
    for (int i = 0; i < cut; i++) {
      if (events.get(i) instanceof Write write) {
        boolean safe = i < flush || loss == Loss.NONE_LOST;
        if (safe) {
          System.arraycopy(write.bytes(), 0, image, (int) write.at(), write.bytes().length);
        } else if (loss == Loss.SOME_LOST) {
          someOf(write, image, random);
        }
      }
    }
    return image;
  }

  private static void someOf(Write write, byte[] image, Random random) {
    for (int from = 0; from < write.bytes().length; from += PIECE) {
      if (random.nextBoolean()) {
        int length = Math.min(PIECE, write.bytes().length - from);
        System.arraycopy(write.bytes(), from, image, (int) write.at() + from, length);
      }
    }
  }

  /** The first event after the file system was made. */
  int begin() {
    int first = 0;
    while (!(events.get(first) instanceof Flush)) {
      first++;
    }
    return first + 1;
  }

  long count(Class<? extends Event> kind) {
    return events.stream().filter(kind::isInstance).count();
  }

  /** Places right after a point was told. */
  List<Integer> afterEachTold() {
    List<Integer> places = new ArrayList<>();
    for (int i = 0; i < events.size(); i++) {
      if (!told(List.of(events.get(i))).isEmpty()) {
        places.add(i + 1);
      }
    }
    return places;
  }

  /** A point as it was told. */
  record Told(int attempt, double flow) {}

  /** The points that were told before a cut, by rung. */
  Map<Integer, Told> told(int cut) {
    return told(events.subList(0, cut));
  }

  private static Map<Integer, Told> told(List<Event> events) {
    Map<Integer, Told> told = new TreeMap<>();
    for (Event event : events) {
      if (event instanceof Line line && line.text().contains("\"event\":\"kept\"")) {
        var kept = Recorder.json(line.text());
        told.put(
            kept.get("rung").asInt(),
            new Told(kept.get("attempt").asInt(), kept.get("flow").asDouble()));
      }
    }
    return told;
  }

  // ------------------------------------------------------------------ as a file

  void write(OutputStream to) throws IOException {
    try (DataOutputStream out = new DataOutputStream(new GZIPOutputStream(to))) {
      out.writeInt(size);
      out.writeInt(events.size());
      for (Event event : events) {
        if (event instanceof Write write) {
          out.writeByte('W');
          out.writeLong(write.at());
          bytes(out, write.bytes());
        } else if (event instanceof Line line) {
          out.writeByte('L');
          bytes(out, line.text().getBytes(StandardCharsets.UTF_8));
        } else {
          out.writeByte('S');
        }
      }
    }
  }

  private static void bytes(DataOutputStream out, byte[] bytes) throws IOException {
    out.writeInt(bytes.length);
    out.write(bytes);
  }

  static DiskLog read(InputStream from) throws IOException {
    try (DataInputStream in = new DataInputStream(new GZIPInputStream(from))) {
      int size = in.readInt();
      int count = in.readInt();
      List<Event> events = new ArrayList<>();
      for (int i = 0; i < count; i++) {
        int kind = in.readByte();
        if (kind == 'S') {
          events.add(new Flush());
        } else if (kind == 'L') {
          events.add(new Line(new String(in.readNBytes(in.readInt()), StandardCharsets.UTF_8)));
        } else {
          events.add(new Write(in.readLong(), in.readNBytes(in.readInt())));
        }
      }
      return new DiskLog(size, events);
    }
  }
}
