package meniscus.recorder.journal;

import java.util.ArrayDeque;
import java.util.Collection;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.TreeMap;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;

/** Which points stand after keeps, redos, skips and undos, replayed in their order. */
public final class KeptPoints {

  private final TreeMap<Integer, LiftPoint> standing = new TreeMap<>();
  private final Deque<Step> steps = new ArrayDeque<>();

  /** What stood at a rung before a step. */
  private record Step(int rung, Optional<LiftPoint> before) {}

  /** A point takes its rung. */
  public void kept(LiftPoint point) {
    put(point.rung(), Optional.of(point));
  }

  /** A redo or a skip empties its rung, an undo takes the last step back, others do nothing. */
  public void event(TestEvent event) {
    switch (event.kind()) {
      case REDO, SKIPPED -> rungOf(event).ifPresent(rung -> put(rung, Optional.empty()));
      case UNDONE -> undo();
      default -> {}
    }
  }

  /** By rung. */
  public List<LiftPoint> standing() {
    return List.copyOf(all());
  }

  private Collection<LiftPoint> all() {
    return standing.values();
  }

  private void put(int rung, Optional<LiftPoint> point) {
    steps.push(new Step(rung, Optional.ofNullable(standing.get(rung))));
    set(rung, point);
  }

  private void undo() {
    if (!steps.isEmpty()) {
      Step last = steps.pop();
      set(last.rung, last.before);
    }
  }

  private void set(int rung, Optional<LiftPoint> point) {
    point.ifPresentOrElse(kept -> standing.put(rung, kept), () -> standing.remove(rung));
  }

  private static Optional<Integer> rungOf(TestEvent event) {
    String first = event.detail().split("[^0-9]", 2)[0];
    return first.isEmpty() || first.length() > 6
        ? Optional.empty()
        : Optional.of(Integer.valueOf(first));
  }
}
