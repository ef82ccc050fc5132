package meniscus.recorder.cli.terminal;

import java.io.IOException;
import java.lang.reflect.Field;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Predicate;
import meniscus.core.refusal.Refusal;
import meniscus.drivers.line.LineKind;
import meniscus.drivers.line.command.CommandKind;
import meniscus.recorder.feed.Drivers;
import meniscus.recorder.plugin.Plugin;
import meniscus.recorder.plugin.PluginFolder;
import meniscus.recorder.plugin.TrustedJars;
import meniscus.recorder.self.UserFolders;
import picocli.CommandLine;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.Option;

/**
 * Where drivers and kinds of line of the user's own are. Most people have none: each command's help
 * names these options in one line, and {@code meniscus help plugins} explains them.
 */
public final class PluginsOption {

  @Option(
      names = "--plugins",
      paramLabel = "DIR",
      hidden = true,
      defaultValue = "${env:MENISCUS_PLUGINS}",
      description = {
        "folder of jars with drivers and kinds of line of your own",
        "(default: the folder that the environment's MENISCUS_PLUGINS names)"
      })
  private Optional<Path> folder = Optional.empty();

  @Option(
      names = "--trust",
      paramLabel = "SHA256",
      hidden = true,
      description = {
        "the SHA-256 of a jar, or of a program that a bench file names, that may run from now on;",
        "may be given several times. One that",
        "nobody has agreed to is asked for at a terminal, and refused without one"
      })
  private List<String> trust = new ArrayList<>();

  @Option(
      names = "--trusted-jars",
      paramLabel = "FILE",
      hidden = true,
      defaultValue = "${env:MENISCUS_TRUSTED_JARS}",
      description = {
        "where the jars agreed to are remembered (default: the file that the environment's",
        "MENISCUS_TRUSTED_JARS names, else .config/meniscus/trusted-jars in your home folder)"
      })
  private Optional<Path> trustedJars = Optional.empty();

  /** The options themselves, as a command's help shows others. */
  public static String explained() {
    CommandSpec shown = CommandSpec.create();
    CommandSpec.forAnnotatedObject(new PluginsOption()).options().stream()
        .map(option -> OptionSpec.builder(option).hidden(false).build())
        .forEach(shown::addOption);
    return new CommandLine.Help(
            shown, CommandLine.Help.defaultColorScheme(CommandLine.Help.Ansi.OFF))
        .optionList();
  }

  /** True for one of these. */
  public static boolean has(OptionSpec option) {
    return option.userObject() instanceof Field field
        && field.getDeclaringClass() == PluginsOption.class;
  }

  /** Everything in the folder, ready or refused. */
  public PluginFolder read(Console console) {
    Optional<Path> named = named();
    TrustedJars trusted = trusted(console);
    if (named.isEmpty()) {
      return withPrograms(PluginFolder.none(), trusted);
    }
    try {
      PluginFolder read = PluginFolder.read(named.get(), trusted);
      trusted
          .unused()
          .forEach(
              hash ->
                  console.warn(
                      "no jar in "
                          + named.get()
                          + " has the SHA-256 "
                          + hash
                          + "; it holds for a program that has it"));
      return withPrograms(read, trusted);
    } catch (IOException e) {
      throw CommandFailed.usage(
          "there is no plugin folder "
              + named.get()
              + " that can be read: see --plugins and MENISCUS_PLUGINS");
    }
  }

  /** Programs that bench files name run when they are agreed to as jars are. */
  private static PluginFolder withPrograms(PluginFolder read, TrustedJars trusted) {
    Drivers drivers = read.drivers();
    List<LineKind> kinds =
        drivers.lineKinds().stream()
            .map(
                kind -> kind.id().equals(CommandKind.ID) ? new CommandKind(trusted::refusal) : kind)
            .toList();
    return new PluginFolder(new Drivers(drivers.all(), kinds), read.outlets(), read.found());
  }

  private TrustedJars trusted(Console console) {
    Path memory =
        trustedJars
            .filter(path -> !path.toString().isEmpty())
            .orElseGet(() -> UserFolders.here().config().resolve("trusted-jars"));
    try {
      return new TrustedJars(
          memory, trust, Console.terminal().map(PluginsOption::asks), console::warn);
    } catch (Refusal e) {
      throw CommandFailed.usage("--trust: " + e.getMessage());
    }
  }

  private static Predicate<String> asks(java.io.Console terminal) {
    return question -> {
      String answer = terminal.readLine("%s", question);
      return answer != null && answer.strip().toLowerCase(Locale.ROOT).matches("y|yes");
    };
  }

  private Optional<Path> named() {
    return folder.filter(path -> !path.toString().isEmpty());
  }

  /** SHA-256 of a plugin's jar in hex, to be held against what its maker says; empty when lost. */
  public String sha256(Plugin plugin) {
    return named().flatMap(path -> TrustedJars.sha256(path.resolve(plugin.jar()))).orElse("");
  }

  /** The drivers that can be used; what is refused is told. */
  public Drivers drivers(Console console) {
    return ready(console).drivers();
  }

  /** All that can be used; what is refused is told. */
  public PluginFolder ready(Console console) {
    PluginFolder plugins = read(console);
    plugins
        .found()
        .forEach(
            plugin ->
                plugin
                    .refused()
                    .ifPresent(
                        reason ->
                            console.warn("plugin " + plugin.jar() + " is not used: " + reason)));
    return plugins;
  }
}
