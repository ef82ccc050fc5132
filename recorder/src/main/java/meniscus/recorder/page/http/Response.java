package meniscus.recorder.page.http;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import meniscus.recorder.file.PlainText;
import meniscus.recorder.json.JsonOut;

/**
 * What a request is answered with.
 *
 * @param headers type, and what differs from the usual headers
 */
public record Response(int status, Map<String, String> headers, byte[] body) {

  private static final String TYPE = "Content-Type";

  public static Response json(JsonNode node) {
    return json(200, node);
  }

  public static Response json(int status, JsonNode node) {
    return new Response(
        status,
        Map.of(TYPE, "application/json; charset=utf-8"),
        node.toString().getBytes(StandardCharsets.UTF_8));
  }

  /** Whatever a message quotes of a request is made fit to be shown. */
  public static Response error(int status, String message) {
    String shown = PlainText.message(String.valueOf(message));
    return json(status, JsonOut.object().put("error", shown));
  }

  public static Response file(String type, byte[] body) {
    return new Response(200, Map.of(TYPE, type), body);
  }

  /** A file to be kept, never shown in the page. */
  public static Response download(String name, String type, byte[] body) {
    return new Response(
        200,
        Map.of(TYPE, type, "Content-Disposition", "attachment; filename=\"" + name + "\""),
        body);
  }

  /** A JSON answer that sets a cookie. */
  public static Response cookie(JsonNode node, String cookie) {
    return new Response(
        200,
        Map.of(TYPE, "application/json; charset=utf-8", "Set-Cookie", cookie),
        node.toString().getBytes(StandardCharsets.UTF_8));
  }

  /** A page with a policy of its own, which may be shown in a frame of this page alone. */
  public static Response framed(String html, String policy) {
    return new Response(
        200,
        Map.of(
            TYPE,
            "text/html; charset=utf-8",
            "Content-Security-Policy",
            policy,
            "X-Frame-Options",
            "SAMEORIGIN"),
        html.getBytes(StandardCharsets.UTF_8));
  }
}
