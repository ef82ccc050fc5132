package meniscus.recorder.outlet;

import java.io.BufferedInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import meniscus.core.outlet.Fact;

/**
 * All facts of a bench in their order, one a line, in a file that only grows: what gives each its
 * place for ever. A line counts once it is forced; half a line that a killed program has left is
 * cut off. Facts themselves come from journals, test folders and the bench file, so that what is
 * missing here after a kill is added later.
 *
 * <p>For several threads.
 */
final class FactSpool implements AutoCloseable {

  static final String FILE = "facts.jsonl";

  private static final int MARK_EVERY = 256;

  /**
   * A place in the file, right behind a fact.
   *
   * @param place of that fact; 0 before the first
   * @param offset of the byte behind it
   */
  record Spot(long place, long offset) {
    static final Spot START = new Spot(0, 0);
  }

  /**
   * A fact as it lies there.
   *
   * @param behind it
   */
  record Line(Fact fact, String json, Spot behind) {}

  private final Path file;
  private final FileChannel channel;

  /** Keys by what they belong to; of a finished test none any more. */
  private final Map<String, Set<String>> keys = new HashMap<>();

  /** Places that reading can begin at, of what was here when it was opened. */
  private final List<Spot> marks = new ArrayList<>(List.of(Spot.START));

  private final Set<String> finished = new HashSet<>();
  private final List<Runnable> growth = new CopyOnWriteArrayList<>();
  private Spot end = Spot.START;

  private FactSpool(Path file) throws IOException {
    this.file = file;
    this.channel = FileChannel.open(file, StandardOpenOption.CREATE, StandardOpenOption.WRITE);
  }

  /**
   * @throws IOException when it cannot be read or written, or holds something else
   */
  static FactSpool open(Path folder) throws IOException {
    FactSpool spool = new FactSpool(folder.resolve(FILE));
    try {
      try (Lines lines = spool.from(Spot.START)) {
        for (Optional<Line> line = lines.next(); line.isPresent(); line = lines.next()) {
          spool.know(line.get().fact());
          spool.end = line.get().behind();
          if (spool.end.place() % MARK_EVERY == 0) {
            spool.marks.add(spool.end);
          }
        }
      }
      spool.channel.truncate(spool.end.offset());
      spool.channel.force(true);
      return spool;
    } catch (IOException | RuntimeException e) {
      spool.close();
      throw e;
    }
  }

  /** How many facts the spool of a folder holds; 0 where there is none. */
  static long count(Path folder) throws IOException {
    Path file = folder.resolve(FILE);
    if (!Files.exists(file)) {
      return 0;
    }
    try (InputStream in = new BufferedInputStream(Files.newInputStream(file), 1 << 16)) {
      long lines = 0;
      for (int each = in.read(); each >= 0; each = in.read()) {
        lines += each == '\n' ? 1 : 0;
      }
      return lines;
    }
  }

  private void know(Fact fact) {
    String of = of(fact.key());
    if (fact.kind() == Fact.Kind.TEST_FINISHED) {
      finished.add(of);
      keys.remove(of);
    } else {
      keys.computeIfAbsent(of, any -> new HashSet<>()).add(fact.key());
    }
  }

  /** What a key belongs to, test or bench: all before the first stroke. */
  private static String of(String key) {
    return key.substring(0, Math.max(0, key.indexOf('/')));
  }

  /** Whether a fact is here, or all of its test are. */
  synchronized boolean has(String key) {
    return finished.contains(of(key)) || keys.getOrDefault(of(key), Set.of()).contains(key);
  }

  synchronized boolean isFinished(String test) {
    return finished.contains(test);
  }

  /** How many facts there are. */
  synchronized long end() {
    return end.place();
  }

  /** Has someone told when there are more, on the thread that has added them. */
  void onGrowth(Runnable told) {
    growth.add(told);
  }

  /**
   * Adds facts at the next places and forces them.
   *
   * @throws IOException when the disk does not take them: none is added then
   */
  void append(List<Fact> facts) throws IOException {
    if (facts.isEmpty()) {
      return;
    }
    synchronized (this) {
      StringBuilder lines = new StringBuilder();
      long place = end.place();
      for (Fact fact : facts) {
        lines.append(FactJson.write(fact.at(++place))).append('\n');
      }
      ByteBuffer bytes = ByteBuffer.wrap(lines.toString().getBytes(StandardCharsets.UTF_8));
      Spot after = new Spot(place, end.offset() + bytes.remaining());
      try {
        while (bytes.hasRemaining()) {
          channel.write(bytes, after.offset() - bytes.remaining());
        }
        channel.force(true);
      } catch (IOException e) {
        takeBack(e);
        throw e;
      }
      facts.forEach(this::know);
      end = after;
    }
    growth.forEach(Runnable::run);
  }

  private void takeBack(IOException why) {
    try {
      channel.truncate(end.offset());
    } catch (IOException stays) {
      why.addSuppressed(stays); // it is written over next time, or cut off
    }
  }

  /**
   * The next facts, none when there are no more.
   *
   * @param most how many
   */
  List<Line> read(Spot after, int most) throws IOException {
    long last = end();
    List<Line> found = new ArrayList<>();
    try (Lines lines = from(after)) {
      while (found.size() < most && after.place() + found.size() < last) {
        found.add(
            lines.next().orElseThrow(() -> new IOException(file + " is shorter than it was")));
      }
    }
    return found;
  }

  /** Right behind the fact of that place and key; empty where there is no such fact. */
  Optional<Spot> behind(long place, String key) throws IOException {
    if (place < 1 || place > end()) {
      return Optional.empty();
    }
    int before = (int) Math.min((place - 1) / MARK_EVERY, marks.size() - 1);
    try (Lines lines = from(marks.get(before))) {
      Optional<Line> line = lines.next();
      while (line.isPresent() && line.get().behind().place() < place) {
        line = lines.next();
      }
      return line.filter(each -> each.fact().key().equals(key)).map(Line::behind);
    }
  }

  private Lines from(Spot spot) throws IOException {
    FileChannel in = FileChannel.open(file, StandardOpenOption.READ);
    in.position(spot.offset());
    return new Lines(new BufferedInputStream(Channels.newInputStream(in), 1 << 14), spot);
  }

  /** Whole lines, one after the other. */
  private final class Lines implements AutoCloseable {

    private final InputStream in;
    private final ByteArrayOutputStream bytes = new ByteArrayOutputStream(1 << 10);
    private Spot at;

    Lines(InputStream in, Spot at) {
      this.in = in;
      this.at = at;
    }

    Optional<Line> next() throws IOException {
      bytes.reset();
      int each = in.read();
      while (each >= 0 && each != '\n') {
        bytes.write(each);
        each = in.read();
      }
      if (each < 0) {
        return Optional.empty();
      }
      at = new Spot(at.place() + 1, at.offset() + bytes.size() + 1);
      String json = bytes.toString(StandardCharsets.UTF_8);
      try {
        Fact fact = FactJson.read(json);
        if (fact.place() != at.place()) {
          throw new IOException("the place is " + fact.place());
        }
        return Optional.of(new Line(fact, json, at));
      } catch (IOException e) {
        throw new IOException(
            file
                + ", line "
                + at.place()
                + ": "
                + e.getMessage()
                + ". Put the file aside: a new one is begun, and facts that are told once more keep"
                + " their keys",
            e);
      }
    }

    @Override
    public void close() throws IOException {
      in.close();
    }
  }

  @Override
  public void close() throws IOException {
    channel.close();
  }
}
