package meniscus.recorder.page;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.charset.StandardCharsets;
import java.util.Optional;

/**
 * What a request is answered with.
 *
 * @param type media type
 * @param policy content security policy in place of the usual one
 */
record Answer(int status, String type, byte[] body, Optional<String> policy) {

  static Answer json(JsonNode node) {
    return json(200, node);
  }

  static Answer json(int status, JsonNode node) {
    return new Answer(
        status,
        "application/json; charset=utf-8",
        node.toString().getBytes(StandardCharsets.UTF_8),
        Optional.empty());
  }

  static Answer file(String type, byte[] body) {
    return new Answer(200, type, body, Optional.empty());
  }
}
