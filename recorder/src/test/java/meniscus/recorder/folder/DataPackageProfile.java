package meniscus.recorder.folder;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * The profile that the Data Package standard 2.0 publishes (source, commit and licence in
 * data-package-2.0/README.md), judged by a validator we did not write; and beside it what only the
 * text of the standard asks (datapackage.org, Data Resource): unique names.
 */
public final class DataPackageProfile {

  static final SchemaRegistry DRAFT_7 =
      SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_7);

  private static final ObjectMapper JSON = new ObjectMapper();

  final String text = profile();
  private final Schema profile = DRAFT_7.getSchema(text, InputFormat.JSON);

  private static String profile() {
    try (InputStream in =
        DataPackageProfile.class.getResourceAsStream("data-package-2.0/profile.json")) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  List<String> complaints(JsonNode descriptor) {
    return profile
        .validate(
            descriptor.toString(),
            InputFormat.JSON,
            run -> run.executionConfig(config -> config.formatAssertionsEnabled(true)))
        .stream()
        .map(error -> error.getInstanceLocation() + ": " + error.getMessage())
        .toList();
  }

  static JsonNode descriptor(Path folder) throws IOException {
    return JSON.readTree(Files.readString(folder.resolve("datapackage.json")));
  }

  /** A test folder follows it. */
  public void assertFollowedBy(Path folder) throws IOException {
    JsonNode descriptor = descriptor(folder);
    assertEquals(List.of(), complaints(descriptor), folder.toString());
    assertEquals(
        "https://datapackage.org/profiles/2.0/datapackage.json",
        descriptor.get("$schema").asText());
    Set<String> names = new HashSet<>();
    for (JsonNode resource : descriptor.get("resources")) {
      String name = resource.get("name").asText();
      assertTrue(names.add(name), name + " twice in " + folder);
      assertTrue(name.matches("[a-z0-9._-]+"), name);
      assertTrue(Files.isRegularFile(folder.resolve(resource.get("path").asText())), name);
    }
  }
}
