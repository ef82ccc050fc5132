package meniscus.recorder.file;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/**
 * What a person does not want to type each time: {@code config.json} in the folder for settings.
 * Paths are as they stand, a beginning {@code ~/} is the home folder.
 *
 * @param bench the bench file
 * @param data folder of tests and plans
 * @param units inch or metric
 */
public record ConfigFile(Optional<Path> bench, Optional<Path> data, Optional<String> units) {

  private static final FormatVersion FORMAT = new FormatVersion("config", 1, 0);

  private static final ConfigFile NOTHING =
      new ConfigFile(Optional.empty(), Optional.empty(), Optional.empty());

  /**
   * Reads it; without a file nothing is set.
   *
   * @throws FileNotAccepted saying what cannot be
   */
  public static ConfigFile read(Path file) {
    if (!Files.exists(file)) {
      return NOTHING;
    }
    ObjectReader members = new ObjectReader(file.toString(), StrictJson.read(file), member -> {});
    try {
      FORMAT.check(members);
      ConfigFile config =
          new ConfigFile(
              members.optionalText("bench").map(ConfigFile::path),
              members.optionalText("data").map(ConfigFile::path),
              members.has("units")
                  ? Optional.of(members.word("units", List.of("inch", "metric")))
                  : Optional.empty());
      members.done();
      return config;
    } catch (IllegalArgumentException e) {
      throw new FileNotAccepted(e.getMessage(), e);
    }
  }

  private static Path path(String text) {
    return text.startsWith("~/")
        ? Path.of(System.getProperty("user.home", ".")).resolve(text.substring(2))
        : Path.of(text);
  }
}
