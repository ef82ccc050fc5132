package meniscus.recorder.file;

import de.siegmar.fastcsv.reader.CsvParseException;
import de.siegmar.fastcsv.reader.CsvReader;
import de.siegmar.fastcsv.reader.CsvRecord;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.compare.CamFlow;
import meniscus.core.quantity.Dimension;
import meniscus.core.quantity.Unit;

/**
 * A cam's lift curve as CSV: crank angle in degrees, then lift at the valve, headed with its unit.
 */
public final class CamFile {

  private static final Pattern UNIT = Pattern.compile("(?i)lift[\\s_]*[(\\[]?([a-z]+)[)\\]]?");

  private CamFile() {}

  /**
   * @throws FileNotAccepted naming file and line
   */
  public static CamFlow.Cam read(Path file) {
    List<double[]> rows = new ArrayList<>();
    try (CsvReader<CsvRecord> csv = CsvReader.builder().ofCsvRecord(file)) {
      Unit unit = null;
      for (CsvRecord line : csv) {
        if (unit == null) {
          unit = unit(file, line);
        } else {
          rows.add(new double[] {number(file, line, 0), unit.toSi(number(file, line, 1))});
        }
      }
    } catch (IOException | UncheckedIOException | CsvParseException e) {
      throw new FileNotAccepted(file + " cannot be read as a cam: " + e.getMessage(), e);
    }
    try {
      return new CamFlow.Cam(
          rows.stream().mapToDouble(row -> row[0]).toArray(),
          rows.stream().mapToDouble(row -> row[1]).toArray());
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(file + ": " + e.getMessage(), e);
    }
  }

  private static Unit unit(Path file, CsvRecord heading) {
    Matcher lift = UNIT.matcher(heading.getFieldCount() == 2 ? heading.getField(1).strip() : "");
    if (!lift.matches()) {
      throw new FileNotAccepted(
          file + ": the first line must head two columns, such as: crank (deg),lift (mm)");
    }
    try {
      return Unit.named(lift.group(1), Dimension.LENGTH);
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(file + ", line 1: " + e.getMessage(), e);
    }
  }

  private static double number(Path file, CsvRecord line, int column) {
    String cell = line.getFieldCount() == 2 ? line.getField(column).strip() : "";
    try {
      return Double.parseDouble(cell);
    } catch (NumberFormatException e) {
      throw new FileNotAccepted(
          file + ", line " + line.getStartingLineNumber() + ": needs two numbers, angle and lift",
          e);
    }
  }
}
