package meniscus.recorder.page.http;

import java.util.Optional;
import java.util.function.Predicate;

/**
 * Who is in charge of the test: one client, until another takes over by saying so. A client that
 * closed its page holds nothing back.
 */
public final class ControlLease {

  private final Predicate<String> connected;
  private Optional<String> holder = Optional.empty();

  /**
   * @param connected whether a client has the page open
   */
  public ControlLease(Predicate<String> connected) {
    this.connected = connected;
  }

  /**
   * A client opened the page; the very first one is in charge.
   *
   * @return true when it is the first
   */
  public synchronized boolean opened(String client) {
    boolean first = holder.isEmpty() && !client.isEmpty();
    if (first) {
      holder = Optional.of(client);
    }
    return first;
  }

  /**
   * @return false when it was in charge already
   */
  public synchronized boolean take(String client) {
    boolean changed = !holder.equals(Optional.of(client));
    holder = Optional.of(client);
    return changed;
  }

  /** Whether a client's commands are taken; scripts have no name and no page. */
  public synchronized boolean allows(String client) {
    if (isHolder(client)) {
      return true;
    }
    if (isHeld()) {
      return false;
    }
    if (!client.isEmpty()) {
      holder = Optional.of(client);
    }
    return true;
  }

  /**
   * @param in what the client sent, with its name as {@code "client"}
   * @throws Refused while another page is in charge
   */
  public void allowOrRefuse(JsonIn in) throws HttpError {
    if (!allows(Client.checked(in.optionalText("client")))) {
      throw HttpError.notNow("another page is in charge: press Take charge on this one first");
    }
  }

  public synchronized boolean isHolder(String client) {
    return holder.equals(Optional.of(client));
  }

  /** True when somebody with an open page is in charge. */
  public synchronized boolean isHeld() {
    return holder.map(connected::test).orElse(false);
  }
}
