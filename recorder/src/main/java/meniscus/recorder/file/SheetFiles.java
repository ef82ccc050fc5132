package meniscus.recorder.file;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Map;
import meniscus.core.instrument.Settings;
import meniscus.drivers.sheet.SheetFile;
import meniscus.drivers.sheet.ShippedSheets;

/** Finds and reads the instrument sheet that a bench file names. */
public final class SheetFiles {

  private SheetFiles() {}

  /**
   * A sheet by the name it is shipped under ({@code dial-indicator}), or by its path from the bench
   * file, which ends in {@code .json}.
   *
   * @param sheet as the bench file names it
   * @param benchFile the bench file
   * @throws FileNotAccepted when there is none, or it does not lie beside the bench file, or is no
   *     sheet
   */
  public static SheetFile read(String sheet, Path benchFile) {
    try {
      return SheetFile.of(isOwn(sheet) ? own(sheet, benchFile) : shipped(sheet));
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  /** True for a sheet that lies beside the bench file. */
  public static boolean isOwn(String sheet) {
    return sheet.endsWith(".json");
  }

  /**
   * A sheet from its text.
   *
   * @throws FileNotAccepted when it is none
   */
  public static SheetFile parse(String name, String text) {
    try {
      return SheetFile.of(new Settings(name, StrictJson.parse(name, text)));
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  /**
   * Writes a sheet into a file that is not there yet.
   *
   * @throws IOException when it cannot be written
   */
  public static void write(Path file, Map<String, Object> sheet) throws IOException {
    WholeFile.write(file, StrictJson.print(sheet));
  }

  private static Settings own(String sheet, Path benchFile) {
    Path file = BesideBench.resolve(benchFile.toAbsolutePath().getParent(), sheet);
    return new Settings(sheet, StrictJson.read(file));
  }

  private static Settings shipped(String sheet) {
    if (!ShippedSheets.names().contains(sheet)) {
      throw new FileNotAccepted(
          "no instrument sheet \""
              + sheet
              + "\" is shipped; there are: "
              + String.join(", ", ShippedSheets.names())
              + ". A sheet of your own lies beside the bench file and is named with its ending"
              + " .json");
    }
    Map<String, Object> members = StrictJson.parse(sheet, ShippedSheets.json(sheet));
    return new Settings("shipped sheet " + sheet, members);
  }
}
