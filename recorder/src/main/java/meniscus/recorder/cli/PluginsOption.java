package meniscus.recorder.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import meniscus.recorder.plugin.PluginFolder;
import meniscus.recorder.session.Drivers;
import picocli.CommandLine.Option;

/** Where drivers and kinds of line of the user's own are. */
final class PluginsOption {

  @Option(
      names = "--plugins",
      paramLabel = "DIR",
      defaultValue = "${env:MENISCUS_PLUGINS}",
      description = {
        "folder of jars with drivers and kinds of line of your own",
        "(default: the folder that the environment's MENISCUS_PLUGINS names)"
      })
  private Optional<Path> folder = Optional.empty();

  /** Everything in the folder, ready or refused. */
  PluginFolder read() {
    Optional<Path> named = folder.filter(path -> !path.toString().isEmpty());
    if (named.isEmpty()) {
      return PluginFolder.none();
    }
    try {
      return PluginFolder.read(named.get());
    } catch (IOException e) {
      throw CommandFailed.usage(
          "there is no plugin folder "
              + named.get()
              + " that can be read: see --plugins and MENISCUS_PLUGINS");
    }
  }

  /** What can be used; what is refused is told. */
  Drivers drivers(Console console) {
    PluginFolder plugins = read();
    plugins
        .found()
        .forEach(
            plugin ->
                plugin
                    .refused()
                    .ifPresent(
                        reason ->
                            console.warn("plugin " + plugin.jar() + " is not used: " + reason)));
    return plugins.drivers();
  }
}
