package meniscus.recorder.folder;

import de.siegmar.fastcsv.reader.CsvParseException;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.CsvRecord;
import de.siegmar.fastcsv.writer.CsvWriter;
import de.siegmar.fastcsv.writer.LineDelimiter;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;

/** CSV files of a test folder: UTF-8, comma, one header row, lines end in LF. */
final class Csv {

  /** Longest row that is read, in characters. */
  private static final int LONGEST_ROW = 1 << 20;

  private Csv() {}

  static CsvWriter writer(OutputStream out, List<Field> fields) {
    CsvWriter writer =
        CsvWriter.builder().lineDelimiter(LineDelimiter.LF).build(out, StandardCharsets.UTF_8);
    writer.writeRecord(Field.names(fields));
    return writer;
  }

  /** Is given one row after the other. */
  interface RowReader {
    void row(Row row) throws IOException;
  }

  /**
   * @param file name for messages
   * @param columns that must be there, in this order; others may follow
   * @throws BadTestFolder naming file, line and column
   */
  static void read(InputStream in, String file, List<String> columns, RowReader reader)
      throws IOException {
    try (CsvReader<CsvRecord> csv =
        CsvReader.builder()
            .maxBufferSize(LONGEST_ROW)
            .skipEmptyLines(false)
            .ofCsvRecord(in, StandardCharsets.UTF_8)) {
      Map<String, Integer> places = null;
      for (CsvRecord line : csv) {
        if (places == null) {
          places = places(file, columns, line.getFields());
        } else {
          reader.row(new Row(file, places, line));
        }
      }
      if (places == null) {
        throw new BadTestFolder(file + " is empty: it should begin with the names of its columns");
      }
    } catch (CsvParseException | UncheckedIOException e) {
      throw new BadTestFolder(file + " cannot be read as CSV: " + e.getMessage(), e);
    }
  }

  private static Map<String, Integer> places(String file, List<String> columns, List<String> header)
      throws BadTestFolder {
    if (header.size() < columns.size() || !header.subList(0, columns.size()).equals(columns)) {
      throw new BadTestFolder(
          file + " should begin with the columns " + columns + " but has " + header);
    }
    Map<String, Integer> places = new HashMap<>();
    for (String name : header) {
      if (places.put(name, places.size()) != null) {
        throw new BadTestFolder(file + " has two columns named " + name);
      }
    }
    return places;
  }

  /** One row; every getter says where it looked when a cell does not fit. */
  record Row(String file, Map<String, Integer> places, CsvRecord cells) {
    int size() {
      return cells.getFieldCount();
    }

    /**
     * Whether the first cells are these; numbers may be written differently.
     *
     * @param passedOver columns that may differ
     */
    boolean sameAs(List<String> others, Set<String> passedOver) {
      Set<Integer> aside = passedOver.stream().map(places::get).collect(Collectors.toSet());
      for (int i = 0; i < others.size(); i++) {
        if (i >= size() || !aside.contains(i) && !same(cell(i), others.get(i))) {
          return false;
        }
      }
      return true;
    }

    private static boolean same(String one, String other) {
      try {
        return one.equals(other) || Cell.number(one) == Cell.number(other);
      } catch (NumberFormatException e) {
        return false;
      }
    }

    /** Whether the table has a column, which those of earlier versions may not. */
    boolean has(String column) {
      return places.containsKey(column);
    }

    String cell(int column) {
      return cells.getField(column);
    }

    String cell(String column) throws BadTestFolder {
      int place = places.get(column);
      if (place >= cells.getFieldCount()) {
        throw wrong(column, "is missing");
      }
      return cells.getField(place);
    }

    String text(String column) throws BadTestFolder {
      return Cell.plain(cell(column));
    }

    double number(String column) throws BadTestFolder {
      String cell = cell(column);
      try {
        return Cell.number(cell);
      } catch (NumberFormatException e) {
        throw wrong(column, "\"" + cell + "\" is not a number");
      }
    }

    OptionalDouble optional(String column) throws BadTestFolder {
      return cell(column).isEmpty() ? OptionalDouble.empty() : OptionalDouble.of(number(column));
    }

    long integer(String column) throws BadTestFolder {
      String cell = cell(column);
      try {
        return Long.parseLong(cell);
      } catch (NumberFormatException e) {
        throw wrong(column, "\"" + cell + "\" is not a whole number");
      }
    }

    boolean flag(String column) throws BadTestFolder {
      String cell = cell(column);
      if (!cell.equals("true") && !cell.equals("false")) {
        throw wrong(column, "\"" + cell + "\" is neither true nor false");
      }
      return cell.equals("true");
    }

    Instant instant(String column) throws BadTestFolder {
      String cell = cell(column);
      try {
        return Instant.parse(cell);
      } catch (DateTimeException e) {
        throw wrong(column, "\"" + cell + "\" is not a time such as 2031-05-06T07:08:09Z");
      }
    }

    <E extends Enum<E>> E word(String column, Class<E> kind) throws BadTestFolder {
      String cell = cell(column);
      try {
        return Enum.valueOf(
            kind, cell.toUpperCase(java.util.Locale.ROOT).replace('-', '_').replace(' ', '_'));
      } catch (IllegalArgumentException e) {
        throw wrong(column, "\"" + cell + "\" is not known here");
      }
    }

    BadTestFolder wrong(String column, String what) {
      return new BadTestFolder(where() + ", column " + column + ": " + what);
    }

    String where() {
      return file + ", line " + cells.getStartingLineNumber();
    }
  }
}
