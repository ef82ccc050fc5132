package meniscus.recorder.export;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.Driver;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Properties;
import java.util.ServiceConfigurationError;
import java.util.ServiceLoader;
import java.util.concurrent.ConcurrentHashMap;
import java.util.zip.ZipFile;
import meniscus.recorder.file.FileNotAccepted;

/**
 * What writes and reads Apache Parquet: DuckDB's JDBC driver, which is six times as large as the
 * program and therefore a jar that the user downloads and names. It is loaded apart from the
 * program's own classes, sees none of them, and is asked through {@code java.sql} alone.
 */
public final class ParquetLibrary implements AutoCloseable {

  /** What the user is told to get: the version that the tests run with. */
  public static final String LIBRARY = "org.duckdb:duckdb_jdbc:2.0.0.1";

  private static final String ADDRESS = "jdbc:duckdb:";

  /** By jar: what a library has for the machine itself can be loaded once in a process. */
  private static final Map<Path, LibraryClasses> LOADED = new ConcurrentHashMap<>();

  private final Connection database;

  private ParquetLibrary(Connection database) {
    this.database = database;
  }

  /**
   * Loads it.
   *
   * @param library the jar of DuckDB's JDBC driver
   * @throws FileNotAccepted when the library is not what it should be
   */
  public static ParquetLibrary open(Path library) throws IOException {
    checkJar(library);
    ParquetLibrary open = new ParquetLibrary(connect(library, classes(library.toRealPath())));
    // All that is needed is in the jar: nothing is to be fetched while writing.
    open.run("SET autoinstall_known_extensions = false");
    open.run("SET autoload_known_extensions = false");
    return open;
  }

  private static ClassLoader classes(Path jar) throws IOException {
    LibraryClasses before = LOADED.get(jar);
    if (before != null) {
      return before;
    }
    LibraryClasses now = new LibraryClasses(jar);
    LibraryClasses meanwhile = LOADED.putIfAbsent(jar, now);
    return meanwhile == null ? now : meanwhile;
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

  /**
   * @throws IOException when it cannot be done, for example for want of room
   */
  public void run(String sql) throws IOException {
    try (Statement statement = database.createStatement()) {
      statement.execute(sql);
    } catch (SQLException e) {
      throw new IOException(e.getMessage(), e);
    }
  }

  /** The answer to a question, row by row; {@code null} where there is nothing. */
  public List<List<String>> ask(String sql) throws IOException {
    List<List<String>> rows = new ArrayList<>();
    try (Statement statement = database.createStatement();
        ResultSet result = statement.executeQuery(sql)) {
      int columns = result.getMetaData().getColumnCount();
      while (result.next()) {
        List<String> row = new ArrayList<>();
        for (int column = 1; column <= columns; column++) {
          row.add(result.getString(column));
        }
        rows.add(row);
      }
    } catch (SQLException e) {
      throw new IOException(e.getMessage(), e);
    }
    return rows;
  }

  /** A text as SQL writes it. */
  public static String quoted(String text) {
    return "'" + text.replace("'", "''") + "'";
  }

  @Override
  public void close() throws IOException {
    try {
      database.close();
    } catch (SQLException e) {
      throw new IOException(e.getMessage(), e);
    }
  }
}
