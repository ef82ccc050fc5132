package meniscus.recorder.outlet;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import meniscus.recorder.file.StrictJson;
import meniscus.recorder.file.WholeFile;

/**
 * How far a receiver has come, by its own word, in a file that is forced and renamed into its
 * place.
 *
 * @param place of the last fact that it has stored; 0 for none
 * @param key of that fact, by which a cursor of other facts is known
 */
record Cursor(long place, String key) {

  private static final String FORMAT = "cursor/1";

  static final Cursor START = new Cursor(0, "");

  static Path file(Path folder, String outlet) {
    return folder.resolve(outlet + ".json");
  }

  /** The start, where there is none that can be read: facts are then sent once more. */
  static Cursor read(Path file) {
    try {
      JsonNode json = StrictJson.MAPPER.readTree(Files.readString(file, StandardCharsets.UTF_8));
      return json.path("meniscus").asText().equals(FORMAT)
          ? new Cursor(json.path("stored_up_to").asLong(), json.path("key").asText())
          : START;
    } catch (IOException noneYet) {
      return START;
    }
  }

  void write(Path file) throws IOException {
    WholeFile.write(
        file,
        StrictJson.MAPPER
                .createObjectNode()
                .put("meniscus", FORMAT)
                .put("stored_up_to", place)
                .put("key", key)
            + "\n");
  }
}
