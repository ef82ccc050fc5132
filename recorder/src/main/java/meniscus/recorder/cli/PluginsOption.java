package meniscus.recorder.cli;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Optional;
import meniscus.recorder.plugin.Plugin;
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
    Optional<Path> named = named();
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

  private Optional<Path> named() {
    return folder.filter(path -> !path.toString().isEmpty());
  }

  /** SHA-256 of a plugin's jar in hex, to be held against what its maker says; empty when lost. */
  String sha256(Plugin plugin) {
    return named().map(path -> sha256(path.resolve(plugin.jar()))).orElse("");
  }

  private static String sha256(Path jar) {
    try (InputStream in = Files.newInputStream(jar)) {
      MessageDigest hash = MessageDigest.getInstance("SHA-256");
      byte[] buffer = new byte[1 << 16];
      for (int count = in.read(buffer); count >= 0; count = in.read(buffer)) {
        hash.update(buffer, 0, count);
      }
      return HexFormat.of().formatHex(hash.digest());
    } catch (IOException unreadable) {
      return "";
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
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
