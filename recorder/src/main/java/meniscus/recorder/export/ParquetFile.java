package meniscus.recorder.export;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.WholeFile;

/**
 * Writes a table as one file of Apache Parquet.
 *
 * <p>Columns are typed (double, integer, boolean, text as UTF-8, times as UTC timestamps to the
 * microsecond). Their units stand in the file's metadata under {@code units}: a JSON object by
 * column name.
 */
public final class ParquetFile {

  private ParquetFile() {}

  /**
   * @param jar the downloaded library
   * @throws FileNotAccepted when the library is not what it should be
   * @throws IOException when the file cannot be written; what was there before still is
   */
  public static void write(Path jar, Table table, Path file) throws IOException {
    try (ParquetLibrary library = ParquetLibrary.open(jar)) {
      WholeFile.write(file, part -> copy(library, table, part));
    }
  }

  private static void copy(ParquetLibrary library, Table table, Path part) throws IOException {
    Path staged = part.resolveSibling(part.getFileName() + ".rows.part");
    try (StagedRows rows = StagedRows.in(staged, table.columns())) {
      for (List<Object> row : table.rows()) {
        rows.add(row);
      }
      library.run(
          "COPY (SELECT * FROM "
              + rows.sql()
              + ") TO "
              + ParquetLibrary.quoted(part.toString())
              + " (FORMAT parquet, USE_TMP_FILE false, KV_METADATA {units: "
              + ParquetLibrary.quoted(units(table))
              + "})");
    } finally {
      Files.deleteIfExists(staged);
    }
  }

  private static String units(Table table) {
    ObjectNode units = new ObjectMapper().createObjectNode();
    table.columns().stream()
        .filter(column -> !column.unit().isEmpty())
        .forEach(column -> units.put(column.name(), column.unit()));
    return units.toString();
  }
}
