package meniscus.recorder.outlet;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import meniscus.core.quantity.Coded;

/**
 * How an outlet fares.
 *
 * @param name in the bench file
 * @param plugin that carries its facts
 * @param facts how many there are
 * @param storedUpTo place of the last one that the receiver has said it has stored
 * @param how it goes
 * @param reason why it does not; empty when it does
 */
public record OutletState(
    String name, String plugin, long facts, long storedUpTo, How how, String reason) {

  /** How it goes. */
  public enum How implements Coded {
    /** The receiver has stored all, or is about to. */
    DELIVERS,
    /** Something is in the way; it is tried again. */
    WAITS,
    /** It cannot be used as it is described, or answers what cannot be: somebody must look. */
    REFUSED;
  }

  public OutletState {
    Objects.requireNonNull(name);
    Objects.requireNonNull(plugin);
    Objects.requireNonNull(how);
    Objects.requireNonNull(reason);
  }

  /** Facts that the receiver has not said it has stored. */
  public long waiting() {
    return facts - storedUpTo;
  }

  /** What is still to go out, a sentence an outlet. */
  public static List<String> waiting(List<OutletState> outlets) {
    return outlets.stream()
        .filter(outlet -> outlet.waiting() > 0)
        .map(OutletState::sentence)
        .toList();
  }

  String sentence() {
    String facts =
        waiting() == 0
            ? ""
            : waiting() + (waiting() == 1 ? " fact is" : " facts are") + " not stored yet";
    return "outlet "
        + name
        + ": "
        + facts
        + (facts.isEmpty() || reason.isEmpty() ? "" : ": ")
        + reason;
  }

  /** What somebody at the bench should see: nothing where it goes, or nothing waits. */
  public Optional<String> notice() {
    boolean quiet = how == How.DELIVERS || how == How.WAITS && waiting() == 0;
    return quiet ? Optional.empty() : Optional.of(sentence());
  }

  /** As the page and {@code --json} show it. */
  public void addTo(ObjectNode json) {
    json.put("name", name)
        .put("plugin", plugin)
        .put("state", how.word())
        .put("facts", facts)
        .put("stored_up_to", storedUpTo)
        .put("waiting", waiting())
        .put("reason", reason);
  }
}
