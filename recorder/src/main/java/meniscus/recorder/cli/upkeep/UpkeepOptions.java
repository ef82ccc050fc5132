package meniscus.recorder.cli.upkeep;

import java.nio.file.Path;
import meniscus.recorder.cli.terminal.Console;
import meniscus.recorder.cli.terminal.PluginsOption;
import meniscus.recorder.feed.Drivers;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Options that the upkeep commands have in common. */
final class UpkeepOptions {

  @Option(names = "--bench", required = true, paramLabel = "FILE", description = "the bench file")
  Path bench;

  @Option(names = "--quick", description = "simulated bench: in simulated time")
  private boolean quick;

  @Option(
      names = "--seed",
      paramLabel = "N",
      description = "simulated bench: seed of noise and weather (default 1)")
  private String seed;

  @Option(names = "--json", description = "print one JSON object")
  boolean json;

  @Mixin private PluginsOption plugins;

  Drivers drivers(Console console) {
    return plugins.drivers(console);
  }
}
