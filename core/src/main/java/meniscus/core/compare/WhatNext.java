package meniscus.core.compare;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import meniscus.core.compare.History.State;
import meniscus.core.finding.Finding;
import meniscus.core.lift.Plan;
import meniscus.core.lift.PortKind;

/**
 * What the tests of a port say is to be done with it next, by the outcomes of its last change and
 * of what was done to the other ports of its kind.
 *
 * @param port it is about
 * @param last what the last change did, lift by lift and on average; empty where nothing was
 *     changed, or it cannot be compared
 * @param suspicion what the last change's loss looks like, where that is told
 * @param untried changes that gained elsewhere and that this port did not get
 */
public record WhatNext(
    Port port, Optional<Overall> last, Optional<Finding> suspicion, List<Untried> untried) {

  private static final Set<Finding.Kind> SUSPICIONS =
      EnumSet.of(
          Finding.Kind.LIKELY_SHORT_SIDE,
          Finding.Kind.LOSES_AT_HIGH_LIFT,
          Finding.Kind.LOST_AT_LOW_LIFT);

  /**
   * A port's history and how the port is now.
   *
   * @param name its own name
   * @param now state that was tested last
   */
  public record Port(String name, PortKind kind, History history, State now) {

    /** Kinds of the changes that made it what it is. */
    private Set<String> got() {
      Set<String> got = new HashSet<>();
      for (State at = now; at != null; at = parent(at)) {
        at.changes().forEach(note -> got.add(ChangeKind.key(note.what())));
      }
      return got;
    }

    /** Null for the first state. */
    private State parent(State of) {
      return of.parent().isEmpty() ? null : history.states().get(of.parent().getAsInt());
    }

    /** The state that the last change was made on. */
    public Optional<State> before() {
      return Optional.ofNullable(parent(now));
    }
  }

  /**
   * A change that gained on another port of the kind, made alone, and lost on none.
   *
   * @param what as its note has it
   * @param on the port that it gained on
   * @param step what it did there
   */
  public record Untried(String what, Port on, Comparison step) {}

  public WhatNext {
    untried = List.copyOf(untried);
  }

  /** One for each port of a head, those first that lost by their last change. */
  public static List<WhatNext> of(List<Port> ports) {
    List<WhatNext> all = new ArrayList<>();
    for (Port port : ports) {
      Optional<Comparison> step = port.now().step();
      all.add(
          new WhatNext(
              port,
              step.map(Overall::of),
              step.stream()
                  .flatMap(compared -> compared.findings().stream())
                  .filter(found -> SUSPICIONS.contains(found.kind()))
                  .findFirst(),
              untried(port, ports)));
    }
    // Sorting keeps the order of those that are alike.
    all.sort(
        Comparator.comparingInt(
            next -> next.last().map(Overall::ordinal).orElse(Overall.values().length)));
    return all;
  }

  private static List<Untried> untried(Port port, List<Port> ports) {
    Set<String> got = port.got();
    Set<String> seen = new HashSet<>();
    List<Untried> untried = new ArrayList<>();
    for (Port other : ports) {
      for (State state : other.history().states()) {
        Optional<String> what = alone(state);
        if (other.kind() == port.kind()
            && what.isPresent()
            && state.step().map(Overall::of).filter(Overall.GAINED::equals).isPresent()
            && !got.contains(what.get())
            && seen.add(what.get())
            && neverLost(what.get(), port.kind(), ports)) {
          untried.add(
              new Untried(state.changes().get(0).what(), other, state.step().orElseThrow()));
        }
      }
    }
    return untried;
  }

  /** The kind of a state's only change. */
  private static Optional<String> alone(State state) {
    List<Plan.ChangeNote> changes = state.changes();
    return state.parent().isPresent() && changes.size() == 1
        ? Optional.of(ChangeKind.key(changes.get(0).what()))
        : Optional.empty();
  }

  private static boolean neverLost(String what, PortKind kind, List<Port> ports) {
    return ports.stream()
        .filter(port -> port.kind() == kind)
        .flatMap(port -> port.history().states().stream())
        .filter(state -> alone(state).filter(what::equals).isPresent())
        .flatMap(state -> state.step().stream())
        .map(Overall::of)
        .noneMatch(did -> did == Overall.LOST || did == Overall.GAINED_AND_LOST);
  }
}
