package meniscus.recorder.file;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;

/** A published JSON Schema: judged by a validator we did not write, and walked for its members. */
public final class Schema {

  private final JsonNode root;
  private final com.networknt.schema.Schema validator;

  private Schema(String text) throws IOException {
    root = new ObjectMapper().readTree(text);
    validator =
        SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12).getSchema(text);
  }

  public static Schema of(String name) {
    try {
      return new Schema(
          Files.readString(Docs.folder().resolve("schemas").resolve(name + ".schema.json")));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  public List<String> complaints(String json) {
    return validator.validate(json, InputFormat.JSON).stream()
        .map(error -> error.getInstanceLocation() + ": " + error.getMessage())
        .toList();
  }

  /** Paths of all members, such as {@code channels.*.low}. */
  Set<String> members() {
    Set<String> members = new TreeSet<>();
    walk(root, "", members, new HashSet<>());
    return members;
  }

  private void walk(JsonNode node, String path, Set<String> members, Set<String> open) {
    String target = node.path("$ref").asText();
    if (!target.isEmpty() && open.add(target)) {
      walk(root.at(target.substring(1)), path, members, open);
      open.remove(target);
    }
    node.path("oneOf").forEach(each -> walk(each, path, members, open));
    if (node.has("items")) {
      walk(node.get("items"), path, members, open);
    }
    if (node.path("additionalProperties").isObject()) {
      walk(node.get("additionalProperties"), path + "*.", members, open);
    }
    node.path("properties")
        .properties()
        .forEach(
            member -> {
              members.add(path + member.getKey());
              String next = path.equals("channels.") ? "channels.*." : path + member.getKey() + ".";
              walk(member.getValue(), next, members, open);
            });
  }
}
