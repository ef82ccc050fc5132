package meniscus.recorder.file;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import meniscus.core.instrument.Settings;
import meniscus.drivers.sheet.SheetFile;
import meniscus.drivers.sheet.ShippedSheets;
import meniscus.recorder.self.UserFolders;

/** Finds and reads the instrument sheet that a bench file names. */
public final class SheetFiles {

  private static final String ENDING = ".json";

  private SheetFiles() {}

  /**
   * A sheet by the name it is shipped under ({@code dial-indicator}), by its name in the folder of
   * one's own sheets, or by its path from the bench file, which ends in {@code .json}.
   *
   * @param sheet as the bench file names it
   * @param benchFile the bench file
   * @throws FileNotAccepted when there is none, or it does not lie beside the bench file, or is no
   *     sheet
   */
  public static SheetFile read(String sheet, Path benchFile) {
    try {
      return SheetFile.of(
          file(sheet, benchFile)
              .map(own -> new Settings(sheet, StrictJson.read(own)))
              .orElseGet(() -> shipped(sheet)));
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  /**
   * The file of a sheet that is not shipped.
   *
   * @throws FileNotAccepted when it does not lie beside the bench file
   */
  public static Optional<Path> file(String sheet, Path benchFile) {
    if (isOwn(sheet)) {
      return Optional.of(BesideBench.resolve(benchFile.toAbsolutePath().getParent(), sheet));
    }
    return ShippedSheets.names().contains(sheet) ? Optional.empty() : inOwnFolder(sheet);
  }

  /** Names that a bench file may use; nothing that could lead out of the folder. */
  private static Optional<Path> inOwnFolder(String sheet) {
    return sheet.matches("[a-z0-9][a-z0-9-]{0,60}")
        ? Optional.of(ownFolder().resolve(sheet + ".json")).filter(Files::isRegularFile)
        : Optional.empty();
  }

  /**
   * Where a person keeps sheets for every bench: the folder that the environment's MENISCUS_SHEETS
   * names, else {@code .config/meniscus/sheets} in the home folder. Need not be there.
   */
  public static Path ownFolder() {
    String named = System.getenv("MENISCUS_SHEETS");
    return named == null || named.isBlank()
        ? UserFolders.here().config().resolve("sheets")
        : Path.of(named);
  }

  /** The names of the sheets in that folder, in alphabetical order. */
  public static List<String> ownNames() {
    try (Stream<Path> files = Files.list(ownFolder())) {
      return files
          .map(file -> file.getFileName().toString())
          .filter(SheetFiles::isOwn)
          .map(name -> name.substring(0, name.length() - ENDING.length()))
          .filter(name -> inOwnFolder(name).isPresent())
          .sorted()
          .toList();
    } catch (IOException noSuchFolder) {
      return List.of();
    }
  }

  /** Whether a file is meant to be a sheet, sound or not; false for benches, plans and the like. */
  public static boolean isMeantAsSheet(Path file) {
    try {
      return String.valueOf(StrictJson.read(file).get("meniscus")).startsWith("sheet/");
    } catch (FileNotAccepted unreadable) {
      return true;
    }
  }

  /** True for a sheet that lies beside the bench file. */
  public static boolean isOwn(String sheet) {
    return sheet.endsWith(ENDING);
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

  private static Settings shipped(String sheet) {
    if (!ShippedSheets.names().contains(sheet)) {
      throw new FileNotAccepted(
          "no instrument sheet \""
              + sheet
              + "\" is shipped; there are: "
              + String.join(", ", ShippedSheets.names())
              + ". A sheet of your own lies beside the bench file and is named with its ending"
              + " .json, or lies in "
              + ownFolder()
              + " and is named without");
    }
    Map<String, Object> members = StrictJson.parse(sheet, ShippedSheets.json(sheet));
    return new Settings("shipped sheet " + sheet, members);
  }
}
