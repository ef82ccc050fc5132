package meniscus.recorder.page.http;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.sun.net.httpserver.Headers;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.SecureRandom;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import java.util.function.LongSupplier;
import meniscus.recorder.json.JsonOut;

/**
 * Who is let in from the shop's network: whoever types the code that the terminal shows. A code
 * lets one browser in, then there is a new one. Guests watch; at the bench they can be given charge
 * as well.
 */
public final class RemoteViewers {

  /** Letters and digits that nobody takes for one another. */
  private static final String SIGNS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ";

  private static final int CODE_SIGNS = 8;
  private static final int TOKEN_BYTES = 32;

  /** With the port in its name: a browser sends cookies of a host to all ports of it. */
  private static final String COOKIE = "meniscus-";

  private static final long COOKIE_SECONDS = TimeUnit.HOURS.toSeconds(12);

  /** Wrong codes a minute, from one address and in all: with 31^8 codes, guessing is hopeless. */
  private static final int TRIES_OF_ONE = 5;

  private static final int TRIES_OF_ALL = 20;
  private static final long MINUTE_NANOS = TimeUnit.MINUTES.toNanos(1);

  /** So that memory stays bounded: the oldest guest is let out for a new one. */
  private static final int MOST_GUESTS = 40;

  private final SecureRandom random = new SecureRandom();
  private final String cookie;
  private final LongSupplier clock;
  private final Consumer<String> showCode;
  private final Map<String, Guest> byToken = new LinkedHashMap<>();
  private final Deque<Wrong> wrong = new ArrayDeque<>();
  private String code = "";
  private int number;

  private record Wrong(long nanos, String from) {}

  /** A browser that was let in. */
  public static final class Guest {
    private final int number;
    private final String from;
    private final long sinceNanos;
    private volatile boolean asks;
    private volatile boolean mayCommand;

    private Guest(int number, String from, long sinceNanos) {
      this.number = number;
      this.from = from;
      this.sinceNanos = sinceNanos;
    }

    public boolean mayCommand() {
      return mayCommand;
    }
  }

  /**
   * @param port that guests ask at
   * @param clock nanoseconds, rising
   * @param showCode is given each new code, for the terminal
   */
  public RemoteViewers(int port, LongSupplier clock, Consumer<String> showCode) {
    this.cookie = COOKIE + port;
    this.clock = clock;
    this.showCode = showCode;
  }

  /** Shows the first code. */
  public synchronized void open() {
    newCode();
  }

  private void newCode() {
    StringBuilder signs = new StringBuilder();
    for (int i = 0; i < CODE_SIGNS; i++) {
      signs.append(i == CODE_SIGNS / 2 ? "-" : "");
      signs.append(SIGNS.charAt(random.nextInt(SIGNS.length())));
    }
    code = signs.toString();
    showCode.accept(code);
  }

  /**
   * Somebody types a code.
   *
   * @param from its address
   * @return the cookie to set
   * @throws Refused 403 for a wrong code, 429 after too many wrong ones
   */
  public synchronized String letIn(String typed, String from) throws HttpError {
    long now = clock.getAsLong();
    while (!wrong.isEmpty() && now - wrong.peekFirst().nanos() > MINUTE_NANOS) {
      wrong.removeFirst();
    }
    long ofOne = wrong.stream().filter(each -> each.from().equals(from)).count();
    if (ofOne >= TRIES_OF_ONE || wrong.size() >= TRIES_OF_ALL) {
      throw HttpError.tooOften("too many wrong codes: wait a minute");
    }
    if (code.isEmpty() || !same(plain(typed), plain(code))) {
      wrong.addLast(new Wrong(now, from));
      throw HttpError.forbidden("this is not the code that the terminal shows now");
    }
    newCode();
    byte[] bytes = new byte[TOKEN_BYTES];
    random.nextBytes(bytes);
    String token = HexFormat.of().formatHex(bytes);
    if (byToken.size() >= MOST_GUESTS) {
      byToken.remove(byToken.keySet().iterator().next());
    }
    byToken.put(token, new Guest(++number, from, now));
    return cookie + "=" + token + "; HttpOnly; SameSite=Strict; Path=/; Max-Age=" + COOKIE_SECONDS;
  }

  private static String plain(String code) {
    return code.toUpperCase(Locale.ROOT).replaceAll("[^A-Z0-9]", "");
  }

  private static boolean same(String a, String b) {
    return MessageDigest.isEqual(
        a.getBytes(StandardCharsets.UTF_8), b.getBytes(StandardCharsets.UTF_8));
  }

  /** The guest whose cookie a request carries. A cookie is good for twelve hours, here as there. */
  public synchronized Optional<Guest> of(Headers headers) {
    letOutTheOld();
    for (String cookies : headers.getOrDefault("Cookie", List.of())) {
      for (String each : cookies.split(";")) {
        String[] pair = each.strip().split("=", 2);
        if (pair.length == 2 && pair[0].equals(cookie) && byToken.containsKey(pair[1])) {
          return Optional.of(byToken.get(pair[1]));
        }
      }
    }
    return Optional.empty();
  }

  /** Whether a guest who came in once may still watch. */
  public synchronized boolean stillIn(Guest guest) {
    letOutTheOld();
    return byToken.containsValue(guest);
  }

  private void letOutTheOld() {
    long now = clock.getAsLong();
    byToken
        .values()
        .removeIf(guest -> now - guest.sinceNanos > TimeUnit.SECONDS.toNanos(COOKIE_SECONDS));
  }

  /** A guest asks for charge; somebody at the bench must agree. */
  public synchronized void asks(Guest guest) {
    guest.asks = !guest.mayCommand;
  }

  /**
   * At the bench somebody agrees, or not, or takes it back.
   *
   * @param guestNumber as shown
   * @return whether the guest could command until now
   */
  public synchronized boolean allow(int guestNumber, boolean mayCommand) throws HttpError {
    Guest guest =
        byToken.values().stream()
            .filter(each -> each.number == guestNumber)
            .findFirst()
            .orElseThrow(() -> HttpError.unknown("there is no guest " + guestNumber));
    boolean could = guest.mayCommand;
    guest.mayCommand = mayCommand;
    guest.asks = false;
    return could;
  }

  /** Those who ask for charge or have been given it. */
  public synchronized ArrayNode json() {
    ArrayNode list = JsonOut.object().arrayNode();
    for (Guest guest : byToken.values()) {
      if (guest.asks || guest.mayCommand) {
        list.addObject()
            .put("guest", guest.number)
            .put("from", guest.from)
            .put("asks", guest.asks)
            .put("may_command", guest.mayCommand);
      }
    }
    return list;
  }
}
