package meniscus.recorder.self;

import java.nio.file.Path;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/**
 * Where the program keeps what belongs to its user and not to a bench or a test. On Linux as the
 * XDG base directory specification (0.8) says: a variable counts only when it holds an absolute
 * path.
 *
 * @param config settings that a person wrote or agreed to
 * @param state what may be lost without harm, as the log
 */
public record UserFolders(Path config, Path state) {

  private static final String OWN = "meniscus";

  /** Those of whoever runs the program. */
  public static UserFolders here() {
    return of(
        System.getProperty("os.name", ""),
        Path.of(System.getProperty("user.home", ".")),
        System.getenv());
  }

  static UserFolders of(String system, Path home, Map<String, String> environment) {
    String name = system.toLowerCase(Locale.ROOT);
    if (name.startsWith("windows")) {
      Path data = home.resolve("AppData");
      return new UserFolders(
          variable(environment, "APPDATA").orElse(data.resolve("Roaming")).resolve(OWN),
          variable(environment, "LOCALAPPDATA").orElse(data.resolve("Local")).resolve(OWN));
    }
    if (name.startsWith("mac")) {
      Path library = home.resolve("Library");
      return new UserFolders(
          library.resolve("Application Support").resolve(OWN),
          library.resolve("Logs").resolve(OWN));
    }
    return new UserFolders(
        variable(environment, "XDG_CONFIG_HOME").orElse(home.resolve(".config")).resolve(OWN),
        variable(environment, "XDG_STATE_HOME")
            .orElse(home.resolve(".local").resolve("state"))
            .resolve(OWN));
  }

  private static Optional<Path> variable(Map<String, String> environment, String name) {
    return Optional.ofNullable(environment.get(name))
        .filter(value -> !value.isBlank())
        .map(Path::of)
        .filter(Path::isAbsolute);
  }
}
