package meniscus.drivers.line.playback;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.Reader;
import java.nio.ByteBuffer;
import java.util.Optional;
import meniscus.core.instrument.Printable;
import meniscus.core.time.Moment;

/**
 * What went over a line, as a text file that people can read and write.
 *
 * <pre>
 * meniscus line recording 1
 * # a remark
 * 0 ! opened
 * 21304000 &lt; P1,+27.984,P2,+12.310*2E\r\n
 * 22000000 &gt; AIR?\r\n
 * 93000000 ! lost: the device is gone
 * </pre>
 *
 * <p>Each line: the moment in nanoseconds, never falling; {@code <} received, {@code >} sent or
 * {@code !} a remark of the host; then the bytes as {@link Printable} writes them (printable ASCII,
 * {@code \r \n \\ \xNN}), or the remark. Lines that begin with {@code #} and empty lines are passed
 * over.
 */
public final class Recording {

  /** The first line of every recording. */
  public static final String HEADER = "meniscus line recording 1";

  /** Longer lines are refused: an 8 KiB chunk with every byte escaped is shorter. */
  private static final int LONGEST_LINE = 100_000;

  /** What kind of line it was. */
  public enum Mark {
    RECEIVED('<'),
    SENT('>'),
    REMARK('!');

    private final char sign;

    Mark(char sign) {
      this.sign = sign;
    }
  }

  /**
   * One line.
   *
   * @param bytes the bytes, or the remark in ISO 8859-1
   */
  public record Entry(Moment at, Mark mark, byte[] bytes) {}

  private Recording() {}

  /** Writes the header; to be written once, before the first {@link #write}. */
  public static void begin(Appendable to) throws IOException {
    to.append(HEADER).append('\n');
  }

  /** Writes one line. */
  public static void write(Appendable to, Moment at, Mark mark, ByteBuffer bytes)
      throws IOException {
    String text = Printable.whole(bytes);
    to.append(Long.toString(at.nanos())).append(' ').append(mark.sign).append(' ');
    if (text.endsWith(" ")) {
      // Some editors take blanks at the end of a line away.
      to.append(text, 0, text.length() - 1).append("\\x20");
    } else {
      to.append(text);
    }
    to.append('\n');
  }

  /** Reads entry by entry, so that a long recording needs little memory. */
  static final class Source implements AutoCloseable {

    private final String name;
    private final BufferedReader reader;
    private int lineNumber;
    private Moment last = new Moment(Long.MIN_VALUE);

    /**
     * @param name for messages
     */
    Source(String name, Reader reader) throws IOException {
      this.name = name;
      this.reader = new BufferedReader(reader);
      if (!line().orElse("").equals(HEADER)) {
        throw new IOException(
            name + " is not a line recording: its first line must be \"" + HEADER + "\"");
      }
    }

    /** The next entry; empty at the end. */
    Optional<Entry> next() throws IOException {
      Optional<String> line = line();
      while (line.isPresent() && (line.get().isEmpty() || line.get().startsWith("#"))) {
        line = line();
      }
      return line.isPresent() ? Optional.of(entry(line.get())) : Optional.empty();
    }

    @Override
    public void close() throws IOException {
      reader.close();
    }

    private Optional<String> line() throws IOException {
      lineNumber++;
      StringBuilder line = new StringBuilder();
      int c = reader.read();
      if (c < 0) {
        return Optional.empty();
      }
      for (; c >= 0 && c != '\n'; c = reader.read()) {
        if (line.length() == LONGEST_LINE) {
          throw damaged("longer than " + LONGEST_LINE + " characters");
        }
        line.append((char) c);
      }
      int end = line.length();
      if (end > 0 && line.charAt(end - 1) == '\r') {
        line.setLength(end - 1);
      }
      return Optional.of(line.toString());
    }

    private Entry entry(String line) throws IOException {
      String[] parts = line.split(" ", 3);
      try {
        Moment at = new Moment(Long.parseLong(parts[0]));
        Mark mark = mark(parts);
        if (last.isAfter(at)) {
          throw damaged("the moment falls");
        }
        last = at;
        return new Entry(at, mark, Printable.bytes(parts.length < 3 ? "" : parts[2]));
      } catch (IllegalArgumentException wrong) {
        throw damaged(wrong.getMessage());
      }
    }

    private static Mark mark(String[] parts) {
      for (Mark mark : Mark.values()) {
        if (parts.length > 1 && parts[1].equals(String.valueOf(mark.sign))) {
          return mark;
        }
      }
      throw new IllegalArgumentException("after the moment must stand <, > or !");
    }

    private IOException damaged(String what) {
      return new IOException(name + ", line " + lineNumber + ": " + what);
    }
  }
}
