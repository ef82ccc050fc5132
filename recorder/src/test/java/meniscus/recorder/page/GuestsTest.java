package meniscus.recorder.page;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.net.httpserver.Headers;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import meniscus.recorder.page.http.HttpError;
import meniscus.recorder.page.http.RemoteViewers;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Codes let one in each, and cannot be guessed. */
class GuestsTest {

  private final AtomicLong clock = new AtomicLong();
  private final List<String> codes = new ArrayList<>();
  private final RemoteViewers guests = new RemoteViewers(8765, clock::get, codes::add);

  @BeforeEach
  void open() {
    guests.open();
  }

  private String code() {
    return codes.get(codes.size() - 1);
  }

  private int status(String code, String from) {
    return assertThrows(HttpError.class, () -> guests.letIn(code, from)).status();
  }

  private RemoteViewers.Guest guest(String cookie) {
    Headers headers = new Headers();
    headers.set("Cookie", "other=1; " + cookie.split(";")[0]);
    return guests.of(headers).orElseThrow();
  }

  @Test
  void aCodeLetsOneIn() throws HttpError {
    String code = code();
    guests.letIn(code.toLowerCase(java.util.Locale.ROOT).replace("-", " "), "a");
    assertNotEquals(code, code(), "there is a new one");
    assertEquals(403, status(code, "b"));
  }

  @Test
  void itsCookieIsForTheServerAloneAndCannotBeGuessed() throws HttpError {
    String cookie = guests.letIn(code(), "a");
    assertTrue(
        cookie.matches("meniscus-8765=[0-9a-f]{64}; HttpOnly; SameSite=Strict; Path=/; .*"),
        cookie);
    assertFalse(guest(cookie).mayCommand(), "guests watch");
    Headers forged = new Headers();
    forged.set("Cookie", "meniscus-8765=" + "0".repeat(64));
    assertTrue(guests.of(forged).isEmpty());
    assertTrue(guests.of(new Headers()).isEmpty());
  }

  @Test
  void aCookieIsGoodForTwelveHoursWhateverTheBrowserDoes() throws HttpError {
    String cookie = guests.letIn(code(), "a");
    RemoteViewers.Guest guest = guest(cookie);
    guests.asks(guest);
    guests.allow(1, true);
    clock.addAndGet(TimeUnit.HOURS.toNanos(12));
    assertTrue(guests.stillIn(guest));
    assertTrue(guest(cookie).mayCommand());
    clock.addAndGet(1);
    Headers late = new Headers();
    late.set("Cookie", cookie.split(";")[0]);
    assertTrue(guests.of(late).isEmpty());
    assertFalse(guests.stillIn(guest), "what it watches ends too");
    assertEquals(404, assertThrows(HttpError.class, () -> guests.allow(1, true)).status());
    assertTrue(guests.json().isEmpty());
  }

  /** A browser sends the cookies of a host to every port of it. */
  @Test
  void theCookieOfAnotherPortShutsNobodyOut() throws HttpError {
    RemoteViewers other = new RemoteViewers(8766, clock::get, codes::add);
    other.open();
    String foreign = other.letIn(code(), "a").split(";")[0];
    guests.open();
    String own = guests.letIn(code(), "a").split(";")[0];
    assertNotEquals(foreign.split("=")[0], own.split("=")[0], "one does not replace the other");
    Headers both = new Headers();
    both.add("Cookie", foreign + "; " + own);
    assertTrue(guests.of(both).isPresent());
    assertTrue(other.of(both).isPresent());
    Headers stale = new Headers();
    stale.add("Cookie", own.split("=")[0] + "=" + "0".repeat(64) + "; " + own);
    assertTrue(guests.of(stale).isPresent(), "an old one of the same name comes first");
  }

  @Test
  void afterFiveWrongCodesInAMinuteOneAddressWaits() throws HttpError {
    for (int i = 0; i < 5; i++) {
      assertEquals(403, status("AAAA-AAA" + (i + 2), "a"));
    }
    assertEquals(429, status(code(), "a"), "even the right one");
    guests.letIn(code(), "b");
    clock.addAndGet(TimeUnit.SECONDS.toNanos(61));
    guests.letIn(code(), "a");
  }

  @Test
  void afterTwentyWrongCodesInAMinuteEveryAddressWaits() {
    for (int i = 0; i < 20; i++) {
      assertEquals(403, status("wrong", "address " + i));
    }
    assertEquals(429, status(code(), "another"));
  }

  @Test
  void chargeIsGivenAndTakenBackAtTheBench() throws HttpError {
    RemoteViewers.Guest guest = guest(guests.letIn(code(), "10.0.0.7"));
    assertEquals(0, guests.json().size());
    guests.asks(guest);
    assertEquals("10.0.0.7", guests.json().get(0).path("from").asText());
    int number = guests.json().get(0).path("guest").asInt();
    guests.allow(number, true);
    assertTrue(guest.mayCommand());
    guests.allow(number, false);
    assertFalse(guest.mayCommand());
    assertThrows(HttpError.class, () -> guests.allow(99, true));
  }

  @Test
  void thereAreNeverMoreThanForty() throws HttpError {
    String first = guests.letIn(code(), "a");
    for (int i = 0; i < 40; i++) {
      guests.letIn(code(), "a");
    }
    Headers headers = new Headers();
    headers.set("Cookie", first.split(";")[0]);
    assertTrue(guests.of(headers).isEmpty(), "the oldest is let out");
  }
}
