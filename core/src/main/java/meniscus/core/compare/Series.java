package meniscus.core.compare;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import meniscus.core.compare.History.State;
import meniscus.core.lift.Plan;
import meniscus.core.refusal.Refusal;

/**
 * What is planned for a port, state after state, before it is done.
 *
 * @param name of the series
 * @param states in the order in which they are to come
 */
public record Series(String name, List<Planned> states) {

  /**
   * A state to come. A surface finish is one like any other: its change is noted from one finish to
   * the other.
   *
   * @param name of the state
   * @param changes that lead to it, with what is expected of them
   */
  public record Planned(String name, List<Plan.ChangeNote> changes) {
    public Planned {
      changes = List.copyOf(changes);
      if (changes.isEmpty()) {
        throw new Refusal("the planned state \"" + name + "\" has no change that leads to it");
      }
    }
  }

  /**
   * How a planned state stands.
   *
   * @param reached state of the history that has all its changes; empty: still to come
   */
  public record Standing(Planned planned, Optional<State> reached) {}

  public Series {
    states = List.copyOf(states);
    if (states.isEmpty()) {
      throw new Refusal("the series plans no state");
    }
  }

  /** Each planned state against a port's history; one state of the history fulfils one. */
  public List<Standing> against(History history) {
    List<State> free = new ArrayList<>(history.states());
    List<Standing> standings = new ArrayList<>();
    for (Planned planned : states) {
      Optional<State> reached = free.stream().filter(s -> fulfils(s, planned)).findFirst();
      reached.ifPresent(free::remove);
      standings.add(new Standing(planned, reached));
    }
    return standings;
  }

  /** States of the history that were changed and that nobody planned. */
  public List<State> unplanned(History history) {
    List<State> reached =
        against(history).stream().flatMap(standing -> standing.reached().stream()).toList();
    return history.states().stream()
        .filter(state -> state.parent().isPresent() && !reached.contains(state))
        .toList();
  }

  private static boolean fulfils(State state, Planned planned) {
    return planned.changes().stream()
        .allMatch(wanted -> state.changes().stream().anyMatch(done -> same(wanted, done)));
  }

  /** Of one kind, and at the place that was planned where one was. */
  private static boolean same(Plan.ChangeNote wanted, Plan.ChangeNote done) {
    return ChangeKind.key(wanted.what()).equals(ChangeKind.key(done.what()))
        && (wanted.where().isBlank()
            || ChangeKind.key(wanted.where()).equals(ChangeKind.key(done.where())));
  }
}
