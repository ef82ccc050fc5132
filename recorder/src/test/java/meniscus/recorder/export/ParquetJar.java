package meniscus.recorder.export;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import meniscus.core.Needed;
import meniscus.recorder.file.WholeFile;

/** The Parquet library as tests have it; as large as all others, {@code -Pparquet} fetches it. */
public final class ParquetJar {

  private ParquetJar() {}

  /** In a folder of the build's own, for what is unpacked beside it. */
  public static synchronized Path path() throws Exception {
    try {
      Class<?> driver = Class.forName("org.duckdb.DuckDBDriver");
      Path fetched = Path.of(driver.getProtectionDomain().getCodeSource().getLocation().toURI());
      Path folder = Files.createDirectories(Path.of("target", "parquet-library").toAbsolutePath());
      Path ours = folder.resolve(fetched.getFileName());
      if (!Files.exists(ours)) {
        WholeFile.write(
            ours, part -> Files.copy(fetched, part, StandardCopyOption.REPLACE_EXISTING));
      }
      return ours;
    } catch (ClassNotFoundException notFetched) {
      Needed.that(false, "no Parquet library: -Pparquet fetches it");
      throw notFetched;
    }
  }

  /** The rows that the last of some statements answers, by column. */
  public static List<Map<String, Object>> read(String... sql) throws SQLException {
    List<Map<String, Object>> rows = new ArrayList<>();
    try (Connection database = DriverManager.getConnection("jdbc:duckdb:");
        Statement statement = database.createStatement()) {
      for (int i = 0; i + 1 < sql.length; i++) {
        statement.execute(sql[i]);
      }
      try (ResultSet result = statement.executeQuery(sql[sql.length - 1])) {
        int columns = result.getMetaData().getColumnCount();
        while (result.next()) {
          Map<String, Object> row = new TreeMap<>();
          for (int i = 1; i <= columns; i++) {
            row.put(result.getMetaData().getColumnName(i), result.getObject(i));
          }
          rows.add(row);
        }
      }
    }
    return rows;
  }

  /** The name of a file as SQL writes it. */
  public static String quoted(Path file) {
    return "'" + file.toString().replace("'", "''") + "'";
  }
}
