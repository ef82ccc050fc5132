package meniscus.recorder.cli.terminal;

import java.nio.file.Path;
import java.util.Optional;
import meniscus.recorder.export.ParquetLibrary;
import picocli.CommandLine.Option;

/** The library that writes Parquet, which the user downloads. */
public final class ParquetOption {

  @Option(
      names = "--parquet-library",
      paramLabel = "JAR",
      description = "The downloaded library that writes Parquet: " + ParquetLibrary.LIBRARY + ".")
  private Optional<Path> given = Optional.empty();

  public boolean isGiven() {
    return given.isPresent();
  }

  /**
   * @throws CommandFailed when it is not named: where to get it
   */
  public Path jar() {
    return given.orElseThrow(() -> needed("", ""));
  }

  /**
   * It is not named.
   *
   * @param before what needs it, in front of the sentence
   * @param after what can be done without it
   */
  public CommandFailed needed(String before, String after) {
    return CommandFailed.usage(
        before
            + "Parquet is written by a free library of 80 MB that is not part of Meniscus. Download"
            + " it once with\n  mvn dependency:copy -Dartifact="
            + ParquetLibrary.LIBRARY
            + " -DoutputDirectory=.\nand name the file with --parquet-library"
            + after);
  }
}
