package meniscus.core.pipeline;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.TreeSet;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.TestEvent;

/**
 * Works a recorded test out again from its sample rows and events, fed in the order in which they
 * were recorded. It takes the very steps of the live run, so the points are the same to the last
 * digit.
 */
public final class Replay {

  private final Acquisition acquisition;
  private final PointMaker pointMaker;
  private final Plan plan;
  private final Map<String, PointMaker.Kept> everKept = new HashMap<>();
  private final Map<Integer, PointMaker.Kept> standing = new TreeMap<>();
  private final TreeSet<Integer> skipped = new TreeSet<>();
  private Map<String, String> begun = Map.of();
  private int segments;

  public Replay(Acquisition acquisition, PointMaker pointMaker, Plan plan) {
    this.acquisition = acquisition;
    this.pointMaker = pointMaker;
    this.plan = plan;
  }

  public void row(Frame frame) {
    acquisition.accept(frame);
  }

  /**
   * @throws IllegalArgumentException when the event does not fit the plan: which and why
   */
  public void event(TestEvent event) {
    Map<String, String> detail = event.words();
    switch (event.kind()) {
      case SEGMENT -> {
        segments++;
        acquisition.restart(Reckoning.BY_ARRIVAL);
      }
      case RECKONED -> acquisition.restart(reckoning(event));
      case BEGUN -> {
        acquisition.begin(event.moment());
        begun = detail;
      }
      case KEPT -> keep(event);
      case REDO -> {
        standing.remove(rung(event, detail).number());
        skipped.remove(rung(event, detail).number());
      }
      case SKIPPED -> {
        standing.remove(rung(event, detail).number());
        skipped.add(rung(event, detail).number());
      }
      case UNDONE -> undo(rung(event, detail).number(), detail.getOrDefault("now", ""));
      default -> {
        // The rest tells people what happened; it changes no point.
      }
    }
  }

  /** The points that stand, in the order of the ladder. */
  public List<LiftPoint> points() {
    return pointMaker.finished(new ArrayList<>(standing.values()));
  }

  /** Numbers of the rungs left empty. */
  public List<Integer> skipped() {
    return List.copyOf(skipped);
  }

  public int segments() {
    return segments;
  }

  private void keep(TestEvent event) {
    Optional<RungWindow> window = acquisition.window();
    Rung rung = rung(event, begun);
    PointMaker.Kept kept =
        window
            .flatMap(
                open ->
                    pointMaker.point(
                        open,
                        rung,
                        Integer.parseInt(begun.get("attempt")),
                        Double.parseDouble(begun.get("aim_pa")),
                        Integer.parseInt(begun.get("segment")),
                        event.moment(),
                        List.of()))
            .orElseThrow(
                () ->
                    new IllegalArgumentException(
                        "the events keep rung "
                            + rung.number()
                            + " where the samples give no average: they do not belong together"));
    acquisition.end();
    everKept.put(rung.number() + ":" + kept.point().attempt(), kept);
    standing.put(rung.number(), kept);
    skipped.remove(rung.number());
  }

  private void undo(int rung, String now) {
    standing.remove(rung);
    skipped.remove(rung);
    if (now.equals("skipped")) {
      skipped.add(rung);
    } else if (now.startsWith("kept:")) {
      standing.put(rung, everKept(rung + now.substring("kept".length())));
    }
  }

  private PointMaker.Kept everKept(String rungAndAttempt) {
    return Optional.ofNullable(everKept.get(rungAndAttempt))
        .orElseThrow(
            () ->
                new IllegalArgumentException(
                    "the events take a step back to rung:attempt "
                        + rungAndAttempt
                        + ", which was never kept"));
  }

  private static Reckoning reckoning(TestEvent event) {
    return Reckoning.named(event.detail())
        .orElseThrow(
            () ->
                new IllegalArgumentException(
                    "its readings were reckoned \""
                        + event.detail()
                        + "\", which this program does not know: use a newer one"));
  }

  private Rung rung(TestEvent event, Map<String, String> detail) {
    String number = detail.getOrDefault("rung", "");
    return plan.ladder().stream()
        .filter(rung -> Integer.toString(rung.number()).equals(number))
        .min(Comparator.comparingInt(Rung::number))
        .orElseThrow(
            () ->
                new IllegalArgumentException(
                    "event \""
                        + event.kind().word()
                        + "\" names rung \""
                        + number
                        + "\", which the plan has not"));
  }
}
