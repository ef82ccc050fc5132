package meniscus.recorder.export;

import de.siegmar.fastcsv.writer.CsvWriter;
import de.siegmar.fastcsv.writer.LineDelimiter;
import de.siegmar.fastcsv.writer.QuoteStrategies;
import java.io.IOException;
import java.io.Writer;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;

/**
 * Rows on their way into Parquet: a file of its own form that only the library reads, so that no
 * number of rows fills the memory. Handing rows over one statement each takes many times as long.
 */
public final class StagedRows implements AutoCloseable {

  private static final int BUFFER = 1 << 16;

  private final Path file;
  private final List<Column> columns;
  private final FileChannel channel;
  private final Writer writer;
  private final CsvWriter csv;
  private long rows;

  private StagedRows(Path file, List<Column> columns) throws IOException {
    this.file = file;
    this.columns = List.copyOf(columns);
    this.channel =
        FileChannel.open(
            file,
            StandardOpenOption.WRITE,
            StandardOpenOption.CREATE,
            StandardOpenOption.TRUNCATE_EXISTING);
    this.writer =
        Channels.newWriter(
            channel,
            StandardCharsets.UTF_8.newEncoder().onMalformedInput(CodingErrorAction.REPLACE),
            BUFFER);
    // An empty text is quoted, so that it is no missing one.
    this.csv =
        CsvWriter.builder()
            .bufferSize(0)
            .lineDelimiter(LineDelimiter.LF)
            .quoteStrategy(QuoteStrategies.EMPTY)
            .build(writer);
  }

  /**
   * @param file to stage in, written over
   */
  public static StagedRows in(Path file, List<Column> columns) throws IOException {
    return new StagedRows(file, columns);
  }

  /**
   * @param cells one a column, of its kind; {@code null} where the value is not known
   */
  public void add(List<Object> cells) throws IOException {
    if (cells.size() != columns.size()) {
      throw new IllegalArgumentException(cells.size() + " cells for " + columns.size());
    }
    List<String> texts = new ArrayList<>(cells.size());
    for (int i = 0; i < cells.size(); i++) {
      Object cell = cells.get(i);
      if (!columns.get(i).kind().fits(cell)) {
        throw new IllegalArgumentException(columns.get(i).name() + " is not " + cell);
      }
      texts.add(
          cell == null
              ? null
              : cell instanceof Instant time
                  ? time.truncatedTo(ChronoUnit.MICROS).toString()
                  : cell.toString());
    }
    csv.writeRecord(texts);
    rows++;
  }

  /** Where the rows so far end. */
  public Mark mark() throws IOException {
    writer.flush();
    return new Mark(channel.position(), rows);
  }

  /**
   * @param bytes of the file so far
   * @param rows in it
   */
  public record Mark(long bytes, long rows) {}

  /** Takes all rows behind a mark back. */
  public void backTo(Mark mark) throws IOException {
    writer.flush();
    channel.truncate(mark.bytes());
    rows = mark.rows();
  }

  /** All rows so far, as SQL selects from them. */
  public String sql() throws IOException {
    writer.flush();
    return "read_csv("
        + ParquetLibrary.quoted(file.toString())
        + ", header = false, auto_detect = false, parallel = false, delim = ',', quote = '\"',"
        + " escape = '\"', new_line = '\\n', nullstr = '', allow_quoted_nulls = false, columns = "
        + columns.stream()
            .map(column -> quotedName(column) + ": '" + type(column.kind()) + "'")
            .collect(Collectors.joining(", ", "{", "}"))
        + ")";
  }

  /** Without any row, as SQL selects from it: the columns and their types alone. */
  public static String none(List<Column> columns) {
    return columns.stream()
        .map(column -> "NULL::" + type(column.kind()) + " AS " + '"' + column.name() + '"')
        .collect(Collectors.joining(", ", "(SELECT ", " WHERE false)"));
  }

  private static String quotedName(Column column) {
    return ParquetLibrary.quoted(column.name());
  }

  private static String type(Column.Kind kind) {
    return switch (kind) {
      case TEXT -> "VARCHAR";
      case TIME -> "TIMESTAMP WITH TIME ZONE";
      case LOCAL_TIME -> "TIMESTAMP";
      case COUNT -> "INTEGER";
      case LONG_COUNT -> "BIGINT";
      case NUMBER -> "DOUBLE";
      case FLAG -> "BOOLEAN";
    };
  }

  @Override
  public void close() throws IOException {
    csv.close();
  }
}
