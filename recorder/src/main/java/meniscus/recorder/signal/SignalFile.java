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
 * an empty value is a dropped reading. Comma, semicolon or tab between columns; point as decimal
 * mark, or comma where no comma parts columns; {@code .gz} is unpacked on the way.
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

    /**
     * The finest decimal that a value was written with so far, before the reading that has it.
     *
     * @param lastDecimal 0.0001 for 100.0000
     */
    default void written(double lastDecimal) {
      // Only who looks for gauges that stand still must know.
    }
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
    int decimals = -1;
    long row = 1;
    for (String line = reader.readLine(); line != null; line = reader.readLine()) {
      row++;
      if (line.isBlank()) {
        continue;
      }
      refuseMoreColumns(line, separator, names.size(), row);
      double t = number(field(line, separator, time), separator, row, timeColumn);
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
      String text = field(line, separator, value);
      double x = number(text, separator, row, valueColumn);
      if (decimals(text) > decimals) {
        decimals = decimals(text);
        sink.written(Math.pow(10, -decimals));
      }
      if (!sink.reading(t, x)) {
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

  /** What lies beyond the last column may be the decimals of a number before it. */
  private void refuseMoreColumns(String line, char separator, int columns, long row)
      throws BadSignal {
    int from = -1;
    for (int i = 0; i < columns; i++) {
      from = line.indexOf(separator, from + 1);
      if (from < 0) {
        return;
      }
    }
    if (!line.substring(from + 1).replace(separator, ' ').isBlank()) {
      throw new BadSignal(
          path,
          row,
          "has more columns than the header's "
              + columns
              + (separator == ','
                  ? ": write decimals with a point, or part the columns by semicolons"
                  : ""));
    }
  }

  /** Decimals that a value is written with; none of one that is not there or has an exponent. */
  private static int decimals(String text) {
    int mark = Math.max(text.indexOf('.'), text.indexOf(','));
    boolean plain = !text.isEmpty() && Character.isDigit(text.charAt(text.length() - 1));
    if (!plain || text.indexOf('e') >= 0 || text.indexOf('E') >= 0) {
      return -1;
    }
    return mark < 0 ? 0 : text.length() - 1 - mark;
  }

  private double number(String text, char separator, long row, String column) throws BadSignal {
    if (text.isEmpty() || text.equalsIgnoreCase("nan")) {
      return Double.NaN;
    }
    try {
      boolean comma = separator != ',' && text.indexOf('.') < 0;
      double x = Double.parseDouble(comma ? text.replace(',', '.') : text);
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
