package meniscus.recorder.journal;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;

/**
 * Which points stand after keeps, redos, skips and undos. Every event says by itself how its rung
 * stands afterwards, so one that was lost in a damaged journal misleads about its own rung only.
 */
public final class KeptPoints {

  private static final Pattern RUNG = Pattern.compile("\\brung=(\\d{1,6})\\b");
  private static final Pattern NOW_KEPT = Pattern.compile("\\bnow=kept:(\\d{1,6})\\b");

  private final Map<Integer, Map<Integer, LiftPoint>> everKept = new HashMap<>();
  private final TreeMap<Integer, LiftPoint> standing = new TreeMap<>();
  private final TreeSet<Integer> skipped = new TreeSet<>();

  /** A point takes its rung. */
  public void kept(LiftPoint point) {
    everKept.computeIfAbsent(point.rung(), rung -> new HashMap<>()).put(point.attempt(), point);
    set(point.rung(), point, false);
  }

  /** Redo, skip and undo change how their rung stands; others do nothing. */
  public void event(TestEvent event) {
    int rung = number(RUNG, event.detail());
    switch (event.kind()) {
      case REDO -> set(rung, null, false);
      case SKIPPED -> set(rung, null, true);
      case UNDONE ->
          set(
              rung,
              everKept.getOrDefault(rung, Map.of()).get(number(NOW_KEPT, event.detail())),
              event.detail().contains("now=skipped"));
      default -> {}
    }
  }

  /** By rung. */
  public List<LiftPoint> standing() {
    return new ArrayList<>(standing.values());
  }

  /** Numbers of the rungs left empty. */
  public List<Integer> skipped() {
    return List.copyOf(skipped);
  }

  private void set(int rung, LiftPoint point, boolean leftEmpty) {
    standing.remove(rung);
    skipped.remove(rung);
    if (point != null) {
      standing.put(rung, point);
    } else if (leftEmpty) {
      skipped.add(rung);
    }
  }

  private static int number(Pattern pattern, String detail) {
    Matcher found = pattern.matcher(detail);
    return found.find() ? Integer.parseInt(found.group(1)) : -1;
  }
}
