package meniscus.recorder.folder;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.zip.GZIPInputStream;
import java.util.zip.GZIPOutputStream;
import meniscus.core.lift.LoudTenth;
import meniscus.core.steadiness.Band;

/** loud.csv.gz: the fast channel's level in each band, every tenth of a second of kept rungs. */
final class LoudTable {

  static final String FILE = "loud.csv.gz";

  static final List<Field> FIELDS =
      List.of(
          Field.integer("rung", "1", "number on the ladder"),
          Field.integer(
              "tenth",
              "",
              "which tenth of a second of the test's clock, 0 for the first; moment_ns over"
                  + " 100000000"),
          band(Band.LOW),
          band(Band.MIDDLE),
          band(Band.HIGH));

  private static final int BANDS = 3;
  private static final long ALL = (1L << BANDS) - 1;

  private LoudTable() {}

  private static Field band(Band band) {
    return Field.number(
        band.word(),
        "Pa",
        "root mean square from "
            + band.words()
            + ", four digits; empty where the stream is too slow for it");
  }

  /**
   * @return number of rows
   */
  static long write(OutputStream out, List<LoudTenth> series) throws IOException {
    GZIPOutputStream gzip = new GZIPOutputStream(out, 1 << 16);
    NumberRows rows = new NumberRows(gzip, Field.names(FIELDS));
    for (LoudTenth tenth : series) {
      double[] levels = {tenth.lowPa(), tenth.middlePa(), tenth.highPa()};
      long known = ALL;
      for (int b = 0; b < BANDS; b++) {
        known &= Double.isNaN(levels[b]) ? ~(1L << b) : ALL;
      }
      rows.number(tenth.rung()).skip(1).number(tenth.tenth()).values(BANDS, known, levels).end();
    }
    rows.flush();
    gzip.finish();
    return rows.rows();
  }

  static List<LoudTenth> read(InputStream in) throws IOException {
    List<LoudTenth> series = new ArrayList<>();
    try (InputStream plain = new GZIPInputStream(in, 1 << 16)) {
      Csv.read(
          plain,
          FILE,
          Field.names(FIELDS),
          row ->
              series.add(
                  new LoudTenth(
                      PointsTable.whole(row, "rung"),
                      PointsTable.whole(row, "tenth"),
                      level(row, Band.LOW),
                      level(row, Band.MIDDLE),
                      level(row, Band.HIGH))));
    }
    return series;
  }

  private static double level(Csv.Row row, Band band) throws BadTestFolder {
    return row.optional(band.word()).orElse(Double.NaN);
  }
}
