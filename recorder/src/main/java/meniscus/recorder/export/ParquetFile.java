package meniscus.recorder.export;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.net.URL;
import java.net.URLClassLoader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.Driver;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.Collections;
import java.util.List;
import java.util.Properties;
import java.util.ServiceConfigurationError;
import java.util.ServiceLoader;
import java.util.stream.Collectors;
import java.util.zip.ZipFile;
import meniscus.recorder.file.FileNotAccepted;
import meniscus.recorder.file.WholeFile;

/**
 * Writes a table as Apache Parquet through DuckDB's JDBC driver, which is six times as large as the
 * program and therefore a jar that the user downloads and names. It is loaded apart from the
 * program's own classes, sees none of them, and is asked through {@code java.sql} alone.
 *
 * <p>Columns are typed (double, integer, boolean, text as UTF-8, times as UTC timestamps to the
 * microsecond). Their units stand in the file's metadata under {@code units}: a JSON object by
 * column name.
 */
public final class ParquetFile {

  /** What the user is told to get: the version that the tests run with. */
  public static final String LIBRARY = "org.duckdb:duckdb_jdbc:2.0.0.1";

  private static final String ADDRESS = "jdbc:duckdb:";

  /** A statement a row takes eight times as long; more rows at once gain nothing. */
  private static final int ROWS_AT_ONCE = 20;

  private ParquetFile() {}

  /**
   * @param library the jar of DuckDB's JDBC driver
   * @throws FileNotAccepted when the library is not what it should be
   * @throws IOException when the file cannot be written; what was there before still is
   */
  public static void write(Path library, Table table, Path file) throws IOException {
    checkJar(library);
    URL[] jar = {library.toUri().toURL()};
    try (URLClassLoader apart = new URLClassLoader(jar, ClassLoader.getPlatformClassLoader());
        Connection database = connect(library, apart)) {
      fill(database, table);
      WholeFile.write(file, part -> copy(database, table, part));
    } catch (SQLException e) {
      throw new IOException(e.getMessage(), e);
    }
  }

  private static void checkJar(Path library) {
    if (!Files.exists(library)) {
      throw new FileNotAccepted(library + " is not there: " + whatToDo());
    }
    try (ZipFile whole = new ZipFile(library.toFile())) {
      whole.size();
    } catch (IOException e) {
      throw new FileNotAccepted(
          library + " is no jar, or was not downloaded whole: " + whatToDo(), e);
    }
  }

  private static String whatToDo() {
    return "name the downloaded jar of " + LIBRARY;
  }

  private static Connection connect(Path library, ClassLoader apart) {
    try {
      for (Driver driver : ServiceLoader.load(Driver.class, apart)) {
        Connection database = driver.connect(ADDRESS, new Properties());
        if (database != null) {
          return database;
        }
      }
    } catch (SQLException | ServiceConfigurationError | LinkageError e) {
      throw new FileNotAccepted(
          library + " does not run here (" + e + "): " + whatToDo() + ", whole and unchanged", e);
    }
    throw new FileNotAccepted(library + " is another library: " + whatToDo());
  }

  private static void fill(Connection database, Table table) throws SQLException {
    List<Column> columns = table.columns();
    try (Statement statement = database.createStatement()) {
      // All that is needed is in the jar: nothing is to be fetched while exporting.
      statement.execute("SET autoinstall_known_extensions = false");
      statement.execute("SET autoload_known_extensions = false");
      statement.execute(
          columns.stream()
              .map(column -> name(column) + " " + type(column.kind()))
              .collect(Collectors.joining(", ", "CREATE TABLE exported (", ")")));
    }
    database.setAutoCommit(false);
    List<List<Object>> rows = table.rows();
    int whole = rows.size() / ROWS_AT_ONCE * ROWS_AT_ONCE;
    insert(database, rows.subList(0, whole), ROWS_AT_ONCE, columns.size());
    insert(database, rows.subList(whole, rows.size()), 1, columns.size());
    database.commit();
  }

  private static void insert(Connection database, List<List<Object>> rows, int atOnce, int columns)
      throws SQLException {
    String row = "(" + String.join(", ", Collections.nCopies(columns, "?")) + ")";
    String all = String.join(", ", Collections.nCopies(atOnce, row));
    try (PreparedStatement insert =
        database.prepareStatement("INSERT INTO exported VALUES " + all)) {
      for (int first = 0; first < rows.size(); first += atOnce) {
        int at = 0;
        for (List<Object> cells : rows.subList(first, first + atOnce)) {
          for (Object cell : cells) {
            insert.setObject(
                ++at, cell instanceof Instant time ? time.atOffset(ZoneOffset.UTC) : cell);
          }
        }
        insert.execute();
      }
    }
  }

  private static void copy(Connection database, Table table, Path part) throws IOException {
    try (Statement statement = database.createStatement()) {
      statement.execute(
          "COPY exported TO "
              + quoted(part.toString())
              + " (FORMAT parquet, USE_TMP_FILE false, KV_METADATA {units: "
              + quoted(units(table))
              + "})");
    } catch (SQLException e) {
      throw new IOException(e.getMessage(), e);
    }
  }

  private static String units(Table table) {
    ObjectNode units = new ObjectMapper().createObjectNode();
    table.columns().stream()
        .filter(column -> !column.unit().isEmpty())
        .forEach(column -> units.put(column.name(), column.unit()));
    return units.toString();
  }

  private static String name(Column column) {
    return '"' + column.name() + '"';
  }

  private static String quoted(String text) {
    return "'" + text.replace("'", "''") + "'";
  }

  private static String type(Column.Kind kind) {
    return switch (kind) {
      case TEXT -> "VARCHAR";
      case TIME -> "TIMESTAMP WITH TIME ZONE";
      case LOCAL_TIME -> "TIMESTAMP";
      case COUNT -> "INTEGER";
      case NUMBER -> "DOUBLE";
      case FLAG -> "BOOLEAN";
    };
  }
}
