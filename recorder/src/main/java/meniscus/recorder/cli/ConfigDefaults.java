package meniscus.recorder.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import meniscus.recorder.file.ConfigFile;
import meniscus.recorder.self.UserFolders;
import picocli.CommandLine.IDefaultValueProvider;
import picocli.CommandLine.Model.ArgSpec;
import picocli.CommandLine.Model.OptionSpec;

/**
 * Options that the config file gives where the command line does not. Only where an option means
 * "the bench of this shop": {@code recompute --bench} means another bench, and a test that is taken
 * up again has its bench with it.
 */
final class ConfigDefaults implements IDefaultValueProvider {

  private static final Map<String, Set<String>> OF_COMMANDS =
      Map.of(
          "--bench",
          Set.of(
              "zero",
              "gauges",
              "leakage",
              "calibrate",
              "check",
              "calm",
              "health",
              "repeat",
              "record",
              "page"),
          "--data",
          Set.of("page"),
          "--units",
          Set.of("export"));

  private final boolean resumes;
  private Optional<ConfigFile> config = Optional.empty();

  ConfigDefaults(String... arguments) {
    this.resumes = List.of(arguments).contains("--resume");
  }

  @Override
  public String defaultValue(ArgSpec argument) {
    if (!(argument instanceof OptionSpec option)) {
      return null;
    }
    String name = option.longestName();
    boolean ours =
        OF_COMMANDS.getOrDefault(name, Set.of()).contains(option.command().name()) && !resumes;
    return ours ? value(name).orElse(null) : null;
  }

  private Optional<String> value(String name) {
    if (config.isEmpty()) {
      config = Optional.of(ConfigFile.read(UserFolders.here().config().resolve("config.json")));
    }
    ConfigFile file = config.get();
    return switch (name) {
      case "--bench" -> file.bench().map(Path::toString);
      case "--data" -> file.data().map(Path::toString);
      default -> file.units();
    };
  }
}
