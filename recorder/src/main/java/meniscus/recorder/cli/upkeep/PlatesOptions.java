package meniscus.recorder.cli.upkeep;

import java.nio.file.Path;
import picocli.CommandLine.Option;

/** Options of the commands that read plates in the head's place. */
final class PlatesOptions {

  @Option(names = "--plates", required = true, paramLabel = "FILE", description = "the plates file")
  Path file;

  @Option(names = "--direction", required = true, paramLabel = "suction|blowing")
  private String direction;

  @Option(
      names = "--range",
      paramLabel = "NAME",
      description = "range that is switched on (default: the bench's first)")
  private String range;
}
