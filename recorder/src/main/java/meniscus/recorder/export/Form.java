package meniscus.recorder.export;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import de.siegmar.fastcsv.writer.CsvWriter;
import de.siegmar.fastcsv.writer.LineDelimiter;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.time.Instant;
import java.time.LocalDateTime;
import java.util.List;
import meniscus.recorder.json.JsonOut;

/** How an exported table is written down as text; {@link ParquetFile} is the form that is none. */
public enum Form {
  /** For spreadsheets: comma and decimal point, units in the headings, no cell is a formula. */
  CSV,
  /** As {@link #CSV}, for countries with a decimal comma: columns parted by semicolons. */
  CSV_COMMA,
  /** One object: {@code columns} with names and units, and {@code rows} of objects. */
  JSON;

  /** The whole table as text, ending in a line end. */
  public String text(Table table) {
    return this == JSON ? json(table) + "\n" : csv(table, this == CSV_COMMA);
  }

  /** The same as a file: spreadsheet programs know UTF-8 by its mark. */
  public String file(Table table) {
    return (this == JSON ? "" : "\uFEFF") + text(table);
  }

  private static String csv(Table table, boolean decimalComma) {
    StringWriter text = new StringWriter();
    try (CsvWriter csv =
        CsvWriter.builder()
            .fieldSeparator(decimalComma ? ';' : ',')
            .lineDelimiter(LineDelimiter.CRLF)
            .build(text)) {
      csv.writeRecord(table.columns().stream().map(Column::heading).toList());
      for (List<Object> row : table.rows()) {
        csv.writeRecord(row.stream().map(cell -> cell(cell, decimalComma)).toList());
      }
    } catch (IOException e) {
      throw new UncheckedIOException("a text in memory can always be written", e);
    }
    return text.toString();
  }

  private static String cell(Object cell, boolean decimalComma) {
    if (cell == null) {
      return "";
    }
    if (cell instanceof LocalDateTime time) {
      return SpreadsheetText.time(time);
    }
    return cell instanceof Double number
        ? SpreadsheetText.number(number, decimalComma)
        : cell instanceof String text ? SpreadsheetText.safe(text) : cell.toString();
  }

  private static ObjectNode json(Table table) {
    ObjectNode root = new ObjectMapper().createObjectNode().put("meniscus", "export/1");
    ArrayNode columns = root.putArray("columns");
    for (Column column : table.columns()) {
      ObjectNode node = columns.addObject().put("name", column.name());
      if (!column.unit().isEmpty()) {
        node.put("unit", column.unit());
      }
    }
    JsonOut.list(
        root,
        "rows",
        table.rows(),
        (node, row) -> {
          for (int i = 0; i < row.size(); i++) {
            Object cell = row.get(i);
            node.putPOJO(
                table.columns().get(i).name(), cell instanceof Instant ? cell.toString() : cell);
          }
        });
    return root;
  }
}
