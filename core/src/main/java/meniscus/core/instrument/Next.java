package meniscus.core.instrument;

import java.util.List;
import java.util.Objects;
import java.util.Optional;
import meniscus.core.time.Moment;

/**
 * What a decoder wants after a call. It replaces whatever was wanted before.
 *
 * @param requests bytes to send now, in order
 * @param wakeAt when to call {@link Decoder#tick}, if no bytes came before
 */
public record Next(List<Request> requests, Optional<Moment> wakeAt) {

  /** Nothing to send, no wake-up. */
  public static final Next NOTHING = new Next(List.of(), Optional.empty());

  public Next {
    requests = List.copyOf(requests);
    Objects.requireNonNull(wakeAt);
  }

  public static Next wake(Moment at) {
    return new Next(List.of(), Optional.of(at));
  }

  public static Next send(Request request, Moment wakeAt) {
    return new Next(List.of(request), Optional.of(wakeAt));
  }
}
