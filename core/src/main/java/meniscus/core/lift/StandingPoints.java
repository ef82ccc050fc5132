package meniscus.core.lift;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.TreeSet;

/**
 * Which points stand after keeps, redos, skips and undos. Each of these says by itself how its rung
 * stands afterwards, so one that was lost in a damaged journal misleads about its own rung only.
 *
 * @param <P> a kept point
 */
public final class StandingPoints<P> {

  private final Map<Integer, Map<Integer, P>> everKept = new HashMap<>();
  private final TreeMap<Integer, Integer> standing = new TreeMap<>();
  private final TreeSet<Integer> skipped = new TreeSet<>();

  /** A point takes its rung. */
  public void keep(int rung, int attempt, P point) {
    everKept.computeIfAbsent(rung, any -> new HashMap<>()).put(attempt, point);
    set(rung, RungStands.kept(attempt));
  }

  /** Redo, skip and undo change how their rung stands; others do nothing. */
  public void happened(TestEvent.What what) {
    if (what instanceof TestEvent.Redone redone) {
      set(redone.rung(), RungStands.OPEN);
    } else if (what instanceof TestEvent.Skipped left) {
      set(left.rung(), RungStands.SKIPPED);
    } else if (what instanceof TestEvent.Undone undone) {
      set(undone.rung(), undone.now());
    }
  }

  /** Makes a rung stand so; one whose value was never seen is open. */
  public void set(int rung, RungStands now) {
    standing.remove(rung);
    skipped.remove(rung);
    switch (now.how()) {
      case KEPT -> {
        if (knows(rung, now.attempt())) {
          standing.put(rung, now.attempt());
        }
      }
      case SKIPPED -> skipped.add(rung);
      case OPEN -> {
        // Nothing stands.
      }
    }
  }

  /** True when this attempt was kept once. */
  public boolean knows(int rung, int attempt) {
    return everKept.getOrDefault(rung, Map.of()).containsKey(attempt);
  }

  public RungStands stands(int rung) {
    return standing.containsKey(rung)
        ? RungStands.kept(standing.get(rung))
        : skipped.contains(rung) ? RungStands.SKIPPED : RungStands.OPEN;
  }

  /** The value of a rung that stands. */
  public Optional<P> point(int rung) {
    return Optional.ofNullable(standing.get(rung)).map(attempt -> everKept.get(rung).get(attempt));
  }

  /** By rung. */
  public List<P> points() {
    List<P> points = new ArrayList<>();
    standing.forEach((rung, attempt) -> points.add(everKept.get(rung).get(attempt)));
    return points;
  }

  /** Numbers of the rungs left empty. */
  public List<Integer> skipped() {
    return List.copyOf(skipped);
  }
}
