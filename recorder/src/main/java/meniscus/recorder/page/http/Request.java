package meniscus.recorder.page.http;

import com.sun.net.httpserver.HttpExchange;
import java.io.IOException;
import java.net.URLDecoder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * One request, read within limits.
 *
 * @param way method and path: {@code GET /api/state}
 * @param query its parameters
 * @param body of a POST
 * @param from address of whoever asks
 * @param guests who is let in by code; empty at the bench's own door
 * @param guest who asks, when it was let in by code
 */
public record Request(
    String way,
    Map<String, List<String>> query,
    byte[] body,
    String from,
    Optional<RemoteViewers> guests,
    Optional<RemoteViewers.Guest> guest) {

  private static final int LONGEST_QUERY = 2_000;
  private static final int LONGEST_BODY = 64 << 10;

  /** A photo as the page sends it, made smaller there, has some 0.5 MB (our own choice). */
  private static final int LARGEST_PHOTO = 4 << 20;

  private static final String PHOTO = "/api/photo";

  static Request read(HttpExchange exchange, Optional<RemoteViewers> guests)
      throws IOException, HttpError {
    String method = exchange.getRequestMethod();
    String path = exchange.getRequestURI().getRawPath();
    Optional<RemoteViewers.Guest> guest =
        guests.flatMap(each -> each.of(exchange.getRequestHeaders()));
    byte[] body = {};
    if (method.equals("POST") && path.equals(PHOTO)) {
      if (guests.isPresent() && !guest.map(RemoteViewers.Guest::mayCommand).orElse(false)) {
        throw HttpError.forbidden("guests watch: ask for charge first"); // before it is read
      }
      RequestGuard.checkPhoto(exchange.getRequestHeaders());
      body = body(exchange, LARGEST_PHOTO, "a photo has at most 4 MiB: make it smaller");
    } else if (method.equals("POST")) {
      RequestGuard.checkJson(exchange.getRequestHeaders());
      body = body(exchange, LONGEST_BODY, "at most 64 KiB can be sent");
    }
    return new Request(
        method + " " + path,
        query(exchange.getRequestURI().getRawQuery()),
        body,
        exchange.getRemoteAddress().getAddress().getHostAddress(),
        guests,
        guest);
  }

  private static byte[] body(HttpExchange exchange, int most, String tooLarge)
      throws IOException, HttpError {
    byte[] body = exchange.getRequestBody().readNBytes(most + 1);
    if (body.length > most) {
      throw HttpError.tooLarge(tooLarge);
    }
    return body;
  }

  /** Asked by the program itself, at the bench's own door. */
  public static Request byNobody(String way) {
    return new Request(way, Map.of(), new byte[0], "", Optional.empty(), Optional.empty());
  }

  /** At the bench's own door everybody is. */
  boolean letIn() {
    return guests.isEmpty() || guest.isPresent();
  }

  /** Whether whoever was let in when it asked still is: a guest's cookie grows old. */
  public boolean stillWelcome() {
    return guests.isEmpty() || guest.filter(guests.get()::stillIn).isPresent();
  }

  /** Guests watch, until somebody at the bench gives them charge. */
  public boolean mayCommand() {
    return guests.isEmpty() || guest.map(RemoteViewers.Guest::mayCommand).orElse(false);
  }

  private static Map<String, List<String>> query(String raw) throws HttpError {
    Map<String, List<String>> query = new HashMap<>();
    if (raw == null) {
      return query;
    }
    if (raw.length() > LONGEST_QUERY) {
      throw HttpError.tooLarge("the address is too long");
    }
    for (String pair : raw.split("&")) {
      String[] parts = pair.split("=", 2);
      query
          .computeIfAbsent(decoded(parts[0]), name -> new ArrayList<>())
          .add(parts.length == 2 ? decoded(parts[1]) : "");
    }
    return query;
  }

  private static String decoded(String text) throws HttpError {
    try {
      return URLDecoder.decode(text, StandardCharsets.UTF_8);
    } catch (IllegalArgumentException e) {
      throw HttpError.wrong("the address cannot be read");
    }
  }

  public List<String> all(String name) {
    return query.getOrDefault(name, List.of());
  }

  public Optional<String> one(String name) {
    return all(name).stream().findFirst();
  }

  public String needed(String name) throws HttpError {
    return one(name).orElseThrow(() -> HttpError.wrong("\"" + name + "\" is missing"));
  }
}
