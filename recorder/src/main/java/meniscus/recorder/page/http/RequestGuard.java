package meniscus.recorder.page.http;

import com.sun.net.httpserver.Headers;
import java.net.InetSocketAddress;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;

/**
 * Keeps other people's web pages away. A browser on this computer will send requests here for any
 * page it shows: by a name that points here (so the host is checked), or across origins (so the
 * origin is checked). No answer allows another origin to read it.
 */
public final class RequestGuard {

  private static final String CONTENT_POLICY =
      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
          + "frame-src 'self'; "
          + "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

  private final Set<String> hosts;
  private final Set<String> origins;

  private RequestGuard(Set<String> hosts) {
    this.hosts = hosts;
    this.origins =
        hosts.stream().map(host -> "http://" + host).collect(Collectors.toUnmodifiableSet());
  }

  /**
   * @param port that the server listens at on the loopback address
   */
  static RequestGuard loopback(int port) {
    return new RequestGuard(Set.of("127.0.0.1:" + port, "localhost:" + port, "[::1]:" + port));
  }

  /** Of a server at one address, which is called by its number only: names can be made to lie. */
  static RequestGuard at(InetSocketAddress address) {
    return new RequestGuard(
        Set.of(address.getAddress().getHostAddress() + ":" + address.getPort()));
  }

  /**
   * @throws Refused 421 for a foreign host, 403 for a foreign origin, 400 for a length that two
   *     readers may read in two ways: a second request could hide in what one of them takes for the
   *     first one's body (RFC 9112, 11.2)
   */
  void check(Headers asked) throws HttpError {
    if (asked.containsKey("Transfer-Encoding")
        || asked.getOrDefault("Content-Length", List.of()).size() > 1) {
      throw HttpError.wrong("say how long a request is by one Content-Length, and nothing else");
    }
    if (!only(asked, "Host").map(hosts::contains).orElse(false)) {
      throw HttpError.misdirected("this page answers to its own address only: " + hosts);
    }
    List<String> origin = asked.getOrDefault("Origin", List.of());
    boolean foreign = origin.stream().anyMatch(each -> !origins.contains(each));
    boolean crossSite =
        asked.getOrDefault("Sec-Fetch-Site", List.of()).stream()
            .anyMatch(site -> !site.equals("same-origin") && !site.equals("none"));
    if (origin.size() > 1 || foreign || crossSite) {
      throw HttpError.forbidden("another web page may not ask this");
    }
  }

  /**
   * @throws Refused 415: a form of another page cannot send this type without being asked first
   */
  static void checkJson(Headers asked) throws HttpError {
    check(asked, Set.of("application/json"), "send it as application/json");
  }

  /**
   * @throws Refused 415: as above; what it is in truth is told by its content
   */
  static void checkPhoto(Headers asked) throws HttpError {
    check(asked, Set.of("image/jpeg", "image/png"), "send it as image/jpeg or image/png");
  }

  private static void check(Headers asked, Set<String> types, String otherwise) throws HttpError {
    String type = only(asked, "Content-Type").orElse("");
    if (!types.contains(type.split(";", 2)[0].strip().toLowerCase(Locale.ROOT))) {
      throw HttpError.wrongType(otherwise);
    }
  }

  /** Headers that every answer carries. */
  static void protect(Headers answer) {
    answer.set("Content-Security-Policy", CONTENT_POLICY);
    answer.set("X-Content-Type-Options", "nosniff");
    answer.set("X-Frame-Options", "DENY");
    answer.set("Referrer-Policy", "no-referrer");
    answer.set("Cross-Origin-Opener-Policy", "same-origin");
    answer.set("Cross-Origin-Resource-Policy", "same-origin");
    answer.set("Permissions-Policy", "camera=(), microphone=(), geolocation=()");
    answer.set("Cache-Control", "no-store");
  }

  private static Optional<String> only(Headers headers, String name) {
    List<String> values = headers.getOrDefault(name, List.of());
    return values.size() == 1 ? Optional.of(values.get(0)) : Optional.empty();
  }
}
