package meniscus.recorder.signal;

import java.io.BufferedInputStream;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.zip.GZIPInputStream;

/**
 * A CSV with a header line, a column of times in seconds that never fall, and a column of values;
 * an empty value is a dropped reading. Comma, semicolon or tab between columns, point as decimal
 * mark; {@code .gz} is unpacked on the way.
 *
 * @param path the file
 * @param timeColumn name of the column of times
 * @param valueColumn name of the column of values
 */
public record SignalFile(Path path, String timeColumn, String valueColumn) {

  private static final int LONGEST_LINE = 100_000;

  /** Takes readings one by one. */
  public interface Sink {
    /**
     * @param value NaN for a dropped reading
     * @return false when no more are wanted
     */
    boolean reading(double seconds, double value);
  }

  /** Reads rows in order until the end or until the sink has enough. */
  public void read(Sink sink) throws IOException {
    try (BufferedReader reader = new BufferedReader(new ShortLines(open()), 1 << 16)) {
      String header = reader.readLine();
      if (header == null || header.isBlank()) {
        throw new BadSignal(path, "is empty; it needs a header line and rows of time and value");
      }
      header = header.startsWith("\uFEFF") ? header.substring(1) : header;
      rows(reader, sink, separator(header), header);
    } catch (NoSuchFileException e) {
      throw new BadSignal(path, "there is no such file");
    } catch (UncheckedIOException e) {
      throw e.getCause();
    }
  }

  private void rows(BufferedReader reader, Sink sink, char separator, String header)
      throws IOException {
    List<String> names = columns(header, separator);
    int time = column(names, timeColumn, "--time");
    int value = column(names, valueColumn, "--column");
    double before = Double.NEGATIVE_INFINITY;
    long row = 1;
    for (String line = reader.readLine(); line != null; line = reader.readLine()) {
      row++;
      if (line.isBlank()) {
        continue;
      }
      double t = number(field(line, separator, time), row, timeColumn);
      if (Double.isNaN(t)) {
        throw new BadSignal(path, row, "has no time; only the value may be left empty");
      }
      if (t < before) {
        throw new BadSignal(
            path,
            row,
            "time goes back from " + before + " s to " + t + " s; sort the rows by time");
      }
      before = t;
      if (!sink.reading(t, number(field(line, separator, value), row, valueColumn))) {
        return;
      }
    }
    if (before == Double.NEGATIVE_INFINITY) {
      throw new BadSignal(path, "has a header but no rows");
    }
  }

  private InputStream open() throws IOException {
    InputStream raw = new BufferedInputStream(Files.newInputStream(path), 1 << 16);
    boolean packed = path.toString().toLowerCase(Locale.ROOT).endsWith(".gz");
    return packed ? new GZIPInputStream(raw, 1 << 16) : raw;
  }

  /** Refuses to gather a line that no CSV has: a packed file may hold gigabytes of it. */
  private final class ShortLines extends InputStreamReader {
    private int length;

    ShortLines(InputStream in) {
      super(in, StandardCharsets.UTF_8);
    }

    @Override
    public int read(char[] buffer, int from, int count) throws IOException {
      int read = super.read(buffer, from, count);
      for (int i = from; i < from + read; i++) {
        length = buffer[i] == '\n' || buffer[i] == '\r' ? 0 : length + 1;
        if (length > LONGEST_LINE) {
          throw new BadSignal(
              path, "has a line of over " + LONGEST_LINE + " characters: is it CSV?");
        }
      }
      return read;
    }
  }

  private static char separator(String header) {
    return header.indexOf('\t') >= 0 ? '\t' : header.indexOf(';') >= 0 ? ';' : ',';
  }

  private static List<String> columns(String header, char separator) {
    return Arrays.stream(header.split(String.valueOf(separator), -1))
        .map(name -> name.strip().replace("\"", ""))
        .toList();
  }

  private int column(List<String> names, String name, String option) throws BadSignal {
    int at = names.indexOf(name);
    if (at < 0) {
      throw new BadSignal(
          path,
          "has no column \""
              + name
              + "\"; it has "
              + String.join(", ", names)
              + ": name one with "
              + option);
    }
    return at;
  }

  /** The field's text; empty when the row is shorter. */
  private static String field(String line, char separator, int column) {
    int from = 0;
    for (int i = 0; i < column; i++) {
      int next = line.indexOf(separator, from);
      if (next < 0) {
        return "";
      }
      from = next + 1;
    }
    int to = line.indexOf(separator, from);
    return (to < 0 ? line.substring(from) : line.substring(from, to)).strip();
  }

  private double number(String text, long row, String column) throws BadSignal {
    if (text.isEmpty() || text.equalsIgnoreCase("nan")) {
      return Double.NaN;
    }
    try {
      double x = Double.parseDouble(text);
      if (Double.isFinite(x)) {
        return x;
      }
    } catch (NumberFormatException e) {
      // said below
    }
    throw new BadSignal(
        path,
        row,
        "\""
            + (text.length() > 40 ? text.substring(0, 40) + "…" : text)
            + "\" in column "
            + column
            + " is not a number; leave a dropped reading empty");
  }
}
