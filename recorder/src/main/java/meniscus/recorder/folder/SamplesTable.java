package meniscus.recorder.folder;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import meniscus.core.instrument.Channel;
import meniscus.core.quantity.Unit;
import meniscus.recorder.journal.Header;

/** samples.csv.gz: one row a received frame, every channel as read, in SI. */
final class SamplesTable {

  static final String FILE = "samples.csv.gz";

  private static final String MOMENT = "moment_ns";

  private final List<Header.Columns> instruments;
  private final int[] firstColumn;
  private final int columns;

  SamplesTable(List<Header.Columns> instruments) {
    this.instruments = instruments;
    this.firstColumn = new int[instruments.size()];
    int column = 0;
    for (int i = 0; i < firstColumn.length; i++) {
      firstColumn[i] = column;
      column += instruments.get(i).channels().size();
    }
    this.columns = column;
  }

  List<Header.Columns> instruments() {
    return instruments;
  }

  List<Field> fields() {
    List<Field> fields = new ArrayList<>();
    fields.add(Field.integer(MOMENT, "ns", "when the frame arrived, monotonic clock of the test"));
    for (Header.Columns of : instruments) {
      for (Channel channel : of.channels()) {
        fields.add(
            Field.number(
                of.instrument() + "." + channel.name(),
                Unit.si(channel.unit().dimension()).code(),
                "as read, before zero and calibration; empty: not in this frame; NaN: overload"));
      }
    }
    return fields;
  }

  /** The other way round: what instruments a list of fields stands for, in SI units. */
  static SamplesTable of(List<Field> fields) throws BadTestFolder {
    Map<String, List<Channel>> channels = new LinkedHashMap<>();
    String form = FILE + ": columns should be " + MOMENT + ", then instrument.channel";
    if (fields.isEmpty()
        || fields.stream().skip(1).anyMatch(field -> field.name().indexOf('.') < 0)) {
      throw new BadTestFolder(form);
    }
    try {
      for (Field field : fields.subList(1, fields.size())) {
        int dot = field.name().indexOf('.');
        channels
            .computeIfAbsent(field.name().substring(0, dot), name -> new ArrayList<>())
            .add(new Channel(field.name().substring(dot + 1), Unit.named(field.unit())));
      }
      List<Header.Columns> instruments = new ArrayList<>();
      channels.forEach((name, of) -> instruments.add(new Header.Columns(name, of)));
      SamplesTable table = new SamplesTable(instruments);
      if (!Field.names(table.fields()).equals(Field.names(fields))) {
        throw new BadTestFolder(FILE + ": the columns of an instrument do not stand together");
      }
      return table;
    } catch (IllegalArgumentException e) {
      throw new BadTestFolder(form + "; " + e.getMessage(), e);
    }
  }

  /** Writes rows; numbers need no quoting, so the text is put together here. */
  final class Writer {
    private final NumberRows rows;

    Writer(OutputStream out) throws IOException {
      rows = new NumberRows(out, Field.names(fields()));
    }

    void row(long momentNanos, int instrument, long present, double[] values) throws IOException {
      int channels = instruments.get(instrument).channels().size();
      rows.number(momentNanos).skip(firstColumn[instrument]).values(channels, present, values);
      rows.skip(columns - firstColumn[instrument] - channels).end();
    }

    long rows() {
      return rows.rows();
    }

    void flush() throws IOException {
      rows.flush();
    }
  }

  /** As {@link meniscus.recorder.journal.JournalVisitor#row}. */
  interface RowSink {
    void row(long momentNanos, int instrument, long present, double[] values) throws IOException;
  }

  void read(InputStream in, RowSink visitor) throws IOException {
    double[] values = new double[Long.SIZE];
    Csv.read(in, FILE, Field.names(fields()), row -> row(row, values, visitor));
  }

  private void row(Csv.Row row, double[] values, RowSink visitor) throws IOException {
    if (row.size() != columns + 1) {
      throw new BadTestFolder(row.where() + ": " + row.size() + " cells, not " + (columns + 1));
    }
    int instrument = -1;
    long present = 0;
    int column = 1;
    for (int i = 0; i < firstColumn.length; i++) {
      for (int c = 0; c < instruments.get(i).channels().size(); c++, column++) {
        if (!row.cell(column).isEmpty()) {
          if (instrument >= 0 && instrument != i) {
            throw new BadTestFolder(row.where() + ": a frame comes from one instrument, not two");
          }
          instrument = i;
          present |= 1L << c;
          values[c] = number(row, column);
        }
      }
    }
    if (instrument < 0) {
      throw new BadTestFolder(row.where() + ": no channel has a value");
    }
    visitor.row(row.integer(MOMENT), instrument, present, values);
  }

  private static double number(Csv.Row row, int column) throws BadTestFolder {
    try {
      return Cell.number(row.cell(column));
    } catch (NumberFormatException e) {
      throw new BadTestFolder(
          row.where() + ", column " + (column + 1) + ": \"" + row.cell(column) + "\" is no number");
    }
  }
}
