package meniscus.recorder.folder;

import de.siegmar.fastcsv.reader.CsvParseException;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.CsvRecord;
import java.io.Closeable;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import meniscus.core.instrument.Channel;
import meniscus.core.quantity.Unit;
import meniscus.recorder.journal.Header;

/**
 * fast.csv.gz: the frames of the instrument with the fast channel, apart from the others so that
 * those stay a table that a person can open. Each says which frame of the whole test it is, so the
 * two tables have one exact order.
 */
final class FastTable {

  static final String FILE = "fast.csv.gz";

  private final int instrument;
  private final Header.Columns columns;

  FastTable(List<Header.Columns> instruments, int instrument) {
    this.instrument = instrument;
    this.columns = instruments.get(instrument);
  }

  /**
   * @param first column's name of an instrument's channels: {@code board.tap}
   */
  static FastTable of(List<Header.Columns> instruments, List<Field> fields) throws BadTestFolder {
    for (int i = 0; i < instruments.size(); i++) {
      FastTable table = new FastTable(instruments, i);
      if (Field.names(table.fields()).equals(Field.names(fields))) {
        return table;
      }
    }
    throw new BadTestFolder(FILE + ": its columns are of no instrument of the test");
  }

  List<Field> fields() {
    List<Field> fields = new ArrayList<>();
    fields.add(Field.integer("row", "1", "number of the frame in the test, 0 for the first"));
    fields.add(
        Field.integer("moment_ns", "ns", "when the frame arrived, monotonic clock of the test"));
    for (Channel channel : columns.channels()) {
      fields.add(
          Field.number(
              columns.instrument() + "." + channel.name(),
              Unit.si(channel.unit().dimension()).code(),
              "as read, before zero; empty: not in this frame; NaN: overload"));
    }
    return fields;
  }

  /** Writes rows; numbers need no quoting. */
  final class Writer {
    private final NumberRows rows;

    Writer(OutputStream out) throws IOException {
      rows = new NumberRows(out, Field.names(fields()));
    }

    void row(long row, long momentNanos, long present, double[] values) throws IOException {
      rows.number(row).skip(1).number(momentNanos);
      rows.values(columns.channels().size(), present, values).end();
    }

    long rows() {
      return rows.rows();
    }

    void flush() throws IOException {
      rows.flush();
    }
  }

  /** Reads row after row, each when it is asked for. */
  final class Reader implements Closeable {
    private final CsvReader<CsvRecord> csv;
    private final Iterator<CsvRecord> lines;
    private final double[] values = new double[Long.SIZE];
    private boolean there;
    private long row;
    private long moment;
    private long present;

    Reader(InputStream in) throws IOException {
      csv = CsvReader.builder().skipEmptyLines(false).ofCsvRecord(in, StandardCharsets.UTF_8);
      lines = csv.iterator();
      try {
        if (!lines.hasNext() || !lines.next().getFields().equals(Field.names(fields()))) {
          throw new BadTestFolder(FILE + ": it should begin with " + Field.names(fields()));
        }
      } catch (CsvParseException | UncheckedIOException e) {
        throw new BadTestFolder(FILE + " cannot be read as CSV: " + e.getMessage(), e);
      }
      next();
    }

    /** Hands over all rows up to a number, if they are the next ones of the test. */
    long showFrom(long next, SamplesTable.RowSink sink) throws IOException {
      long at = next;
      while (there && row == at) {
        sink.row(moment, instrument, present, values);
        at++;
        next();
      }
      return at;
    }

    /**
     * @throws BadTestFolder when rows are left whose place in the test never came
     */
    void refuseLeftOver() throws BadTestFolder {
      if (there) {
        throw new BadTestFolder(FILE + ": row " + row + " has no place among the samples");
      }
    }

    private void next() throws IOException {
      try {
        there = lines.hasNext();
        if (there) {
          read(lines.next());
        }
      } catch (CsvParseException | UncheckedIOException | NumberFormatException e) {
        throw new BadTestFolder(FILE + " cannot be read: " + e.getMessage(), e);
      }
    }

    private void read(CsvRecord line) throws BadTestFolder {
      int channels = columns.channels().size();
      if (line.getFieldCount() != channels + 2) {
        throw new BadTestFolder(
            FILE + ", line " + line.getStartingLineNumber() + ": not " + (channels + 2) + " cells");
      }
      row = Long.parseLong(line.getField(0));
      moment = Long.parseLong(line.getField(1));
      present = 0;
      for (int c = 0; c < channels; c++) {
        String cell = line.getField(2 + c);
        if (!cell.isEmpty()) {
          present |= 1L << c;
          values[c] = Cell.number(cell);
        }
      }
    }

    @Override
    public void close() throws IOException {
      csv.close();
    }
  }
}
