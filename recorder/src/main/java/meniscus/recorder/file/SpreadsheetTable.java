package meniscus.recorder.file;

import de.siegmar.fastcsv.reader.CsvParseException;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.CsvRecord;
import de.siegmar.fastcsv.reader.FieldMismatchStrategy;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.Charset;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A table as spreadsheets write CSV: UTF-8 or UTF-16 with or without a mark in front, or the code
 * page of older ones; commas, semicolons or tabs between cells; cells in quotes. Every cell knows
 * its place.
 */
public final class SpreadsheetTable {

  /** Far above any list of lifts. */
  private static final int LARGEST_FILE = 1 << 20;

  private static final int MOST_ROWS = 2_000;
  private static final int MOST_COLUMNS = 200;
  private static final String SEPARATORS = ";\t,";

  /** A first line of some spreadsheets: {@code sep=;}. */
  private static final Pattern SEPARATOR_LINE = Pattern.compile("(?i)\\A\"?sep=(.)\"?\\r?\\n");

  /** What older spreadsheets on Windows write; every byte of it means something. */
  private static final Charset CODE_PAGE = Charset.forName("windows-1252");

  private final Path file;
  private final char separator;
  private final List<String> headings;
  private final List<Row> rows;

  /**
   * @param line of the file, from 1
   * @param cells as text, without blanks around
   */
  private record Row(long line, List<String> cells) {}

  private SpreadsheetTable(Path file, char separator, List<String> headings, List<Row> rows) {
    this.file = file;
    this.separator = separator;
    this.headings = headings;
    this.rows = rows;
  }

  /**
   * @param bytes of the file, see {@link #bytes}
   * @throws FileNotAccepted naming file, line and column
   */
  public static SpreadsheetTable parse(Path file, byte[] bytes) {
    String text = text(file, bytes);
    int skipped = 0;
    char separator = 0;
    Matcher said = SEPARATOR_LINE.matcher(text);
    if (said.find()) {
      separator = said.group(1).charAt(0);
      text = text.substring(said.end());
      skipped = 1;
    }
    if (separator == 0) {
      separator = separator(file, text);
    }
    return parse(file, text, separator, skipped);
  }

  private static SpreadsheetTable parse(Path file, String text, char separator, int skipped) {
    if (text.chars().filter(c -> c == '"').count() % 2 != 0) {
      throw new FileNotAccepted(
          file + " cannot be read as a table: a quote that opens a cell is not closed");
    }
    List<Row> rows = new ArrayList<>();
    try (CsvReader<CsvRecord> csv =
        CsvReader.builder()
            .fieldSeparator(separator)
            .extraFieldStrategy(FieldMismatchStrategy.IGNORE)
            .missingFieldStrategy(FieldMismatchStrategy.IGNORE)
            .ofCsvRecord(text)) {
      for (CsvRecord line : csv) {
        List<String> cells = line.getFields().stream().map(SpreadsheetTable::stripped).toList();
        if (cells.stream().allMatch(String::isEmpty)) {
          continue;
        }
        if (rows.size() > MOST_ROWS || cells.size() > MOST_COLUMNS) {
          throw new FileNotAccepted(
              file + " has more than " + MOST_ROWS + " rows or " + MOST_COLUMNS + " columns");
        }
        rows.add(new Row(line.getStartingLineNumber() + skipped, cells));
      }
    } catch (CsvParseException | IOException | IllegalArgumentException e) {
      throw new FileNotAccepted(file + " cannot be read as a table: " + e.getMessage(), e);
    }
    if (rows.size() < 2) {
      throw new FileNotAccepted(
          file + " has no rows: its first line is to name the columns, and the numbers follow");
    }
    return new SpreadsheetTable(file, separator, rows.get(0).cells(), rows.subList(1, rows.size()));
  }

  /**
   * A file as it is.
   *
   * @throws FileNotAccepted when it cannot be read, or is larger than any list of lifts
   */
  public static byte[] bytes(Path file) {
    try (InputStream in = Files.newInputStream(file)) {
      byte[] bytes = in.readNBytes(LARGEST_FILE + 1);
      if (bytes.length > LARGEST_FILE) {
        throw new FileNotAccepted(file + " is above 1 MiB: that is no list of lifts");
      }
      return bytes;
    } catch (NoSuchFileException e) {
      throw new FileNotAccepted("there is no file " + file, e);
    } catch (IOException e) {
      throw new FileNotAccepted(file + " cannot be read: " + e.getMessage(), e);
    }
  }

  private static String text(Path file, byte[] bytes) {
    Optional<String> text;
    if (begins(bytes, 0xFF, 0xFE)) {
      text = decoded(bytes, 2, StandardCharsets.UTF_16LE);
    } else if (begins(bytes, 0xFE, 0xFF)) {
      text = decoded(bytes, 2, StandardCharsets.UTF_16BE);
    } else {
      text =
          decoded(bytes, begins(bytes, 0xEF, 0xBB, 0xBF) ? 3 : 0, StandardCharsets.UTF_8)
              .or(() -> Optional.of(new String(bytes, CODE_PAGE)));
    }
    return text.filter(plain -> plain.indexOf('\0') < 0)
        .orElseThrow(
            () ->
                new FileNotAccepted(
                    file
                        + " is no text: save the table as CSV (a spreadsheet's own file is not"
                        + " read)"));
  }

  private static boolean begins(byte[] bytes, int... mark) {
    for (int i = 0; i < mark.length; i++) {
      if (bytes.length <= i || (bytes[i] & 0xff) != mark[i]) {
        return false;
      }
    }
    return true;
  }

  private static Optional<String> decoded(byte[] bytes, int from, Charset charset) {
    try {
      return Optional.of(
          charset
              .newDecoder()
              .onMalformedInput(CodingErrorAction.REPORT)
              .onUnmappableCharacter(CodingErrorAction.REPORT)
              .decode(ByteBuffer.wrap(bytes, from, bytes.length - from))
              .toString());
    } catch (CharacterCodingException e) {
      return Optional.empty();
    }
  }

  /** What stands most often in the first line that is not empty, outside of quotes. */
  private static char separator(Path file, String text) {
    String first = text.lines().filter(line -> !line.isBlank()).findFirst().orElse("");
    int[] counts = new int[SEPARATORS.length()];
    boolean quoted = false;
    for (char c : first.toCharArray()) {
      quoted ^= c == '"';
      int which = quoted ? -1 : SEPARATORS.indexOf(c);
      if (which >= 0) {
        counts[which]++;
      }
    }
    int best = 0;
    for (int i = 1; i < counts.length; i++) {
      best = counts[i] > counts[best] ? i : best;
    }
    if (counts[best] == 0) {
      throw new FileNotAccepted(
          file
              + ", line 1: there is one column only; columns are parted by commas, semicolons or"
              + " tabs, and the first line names them");
    }
    return SEPARATORS.charAt(best);
  }

  private static String stripped(String cell) {
    return cell.replace('\u00A0', ' ').strip();
  }

  public Path file() {
    return file;
  }

  /** The names in the first row. */
  public List<String> headings() {
    return headings;
  }

  /** Whether commas part the cells, so that a comma in a number would need quotes. */
  boolean partedByCommas() {
    return separator == ',';
  }

  int rows() {
    return rows.size();
  }

  /** A cell's text; empty where the row is shorter. */
  String cell(int row, int column) {
    List<String> cells = rows.get(row).cells();
    return column < cells.size() ? cells.get(column) : "";
  }

  /** The line of the file in which a row begins. */
  long line(int row) {
    return rows.get(row).line();
  }

  /** {@code old.csv, line 7, column 3 ("flow")}. */
  String place(int row, int column) {
    return file
        + ", line "
        + line(row)
        + ", column "
        + (column + 1)
        + (column < headings.size() ? " (\"" + headings.get(column) + "\")" : "");
  }
}
