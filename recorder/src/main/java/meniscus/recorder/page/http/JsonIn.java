package meniscus.recorder.page.http;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import meniscus.recorder.file.StrictJson;

/** One JSON object that a request brought, read without mercy. */
public final class JsonIn {

  private final ObjectNode object;

  private JsonIn(ObjectNode object) {
    this.object = object;
  }

  /**
   * @param members that may be there
   */
  public static JsonIn read(byte[] body, Set<String> members) throws HttpError {
    JsonNode node;
    try {
      node = StrictJson.MAPPER.readTree(new String(body, StandardCharsets.UTF_8));
    } catch (JsonProcessingException e) {
      throw HttpError.wrong("not JSON: " + e.getOriginalMessage());
    }
    if (!(node instanceof ObjectNode found)) {
      throw HttpError.wrong("send one JSON object");
    }
    for (Iterator<String> names = found.fieldNames(); names.hasNext(); ) {
      String name = names.next();
      if (!members.contains(name)) {
        throw HttpError.wrong("no member \"" + name + "\" here; there are: " + members);
      }
    }
    return new JsonIn(found);
  }

  public static ObjectNode tree(byte[] json) throws IOException {
    return StrictJson.MAPPER.readValue(json, ObjectNode.class);
  }

  public String text(String name) throws HttpError {
    return optionalText(name).orElseThrow(() -> HttpError.wrong("\"" + name + "\" is missing"));
  }

  public Optional<String> optionalText(String name) throws HttpError {
    JsonNode value = object.path(name);
    if (value.isMissingNode() || value.isNull()) {
      return Optional.empty();
    }
    if (!value.isTextual()) {
      throw HttpError.wrong("\"" + name + "\" must be text");
    }
    return Optional.of(value.textValue());
  }

  public Optional<Integer> optionalWhole(String name) throws HttpError {
    JsonNode value = object.path(name);
    if (value.isMissingNode() || value.isNull()) {
      return Optional.empty();
    }
    if (!value.canConvertToInt() || !value.isIntegralNumber()) {
      throw HttpError.wrong("\"" + name + "\" must be a whole number");
    }
    return Optional.of(value.intValue());
  }

  /** A list of texts; empty when it is left out. */
  public List<String> texts(String name) throws HttpError {
    JsonNode value = object.path(name);
    List<String> texts = new ArrayList<>();
    if (value.isMissingNode()) {
      return texts;
    }
    for (JsonNode each : value) {
      if (!each.isTextual()) {
        throw HttpError.wrong("\"" + name + "\" must be a list of texts");
      }
      texts.add(each.textValue());
    }
    return texts;
  }

  public boolean flag(String name) throws HttpError {
    JsonNode value = object.path(name);
    if (value.isMissingNode()) {
      return false;
    }
    if (!value.isBoolean()) {
      throw HttpError.wrong("\"" + name + "\" must be true or false");
    }
    return value.booleanValue();
  }

  /** An object or text of any form, to be checked by whoever takes it. */
  public Optional<JsonNode> any(String name) {
    return Optional.ofNullable(object.get(name));
  }
}
