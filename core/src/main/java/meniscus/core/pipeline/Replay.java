package meniscus.core.pipeline;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import meniscus.core.bench.PointMeans;
import meniscus.core.finding.Confirmation;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.LoudTenth;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.RungStands;
import meniscus.core.lift.SeatReadings;
import meniscus.core.lift.StandingPoints;
import meniscus.core.lift.TestEvent;
import meniscus.core.time.Moment;

/**
 * Works a recorded test out again from its sample rows and events, fed in the order in which they
 * were recorded. It takes the very steps of the live run, so the points are the same to the last
 * digit.
 */
public final class Replay {

  /** Kinds without which the points cannot be worked out again. */
  private static final Set<TestEvent.Kind> DECIDE =
      EnumSet.of(
          TestEvent.Kind.SEGMENT,
          TestEvent.Kind.RECKONED,
          TestEvent.Kind.BEGUN,
          TestEvent.Kind.KEPT,
          TestEvent.Kind.REDO,
          TestEvent.Kind.SKIPPED,
          TestEvent.Kind.UNDONE,
          TestEvent.Kind.CONFIRM,
          TestEvent.Kind.SEAT);

  private final Acquisition acquisition;
  private final PointMaker pointMaker;
  private final List<Rung> ladder;
  private final StandingPoints<PointMaker.Kept> stands = new StandingPoints<>();
  private final LoudSeries loud = new LoudSeries();
  private final SeatReadings.Heard seat = new SeatReadings.Heard();
  private TestEvent.Begun begun = new TestEvent.Begun(0, 0, 0, 0);

  public Replay(Acquisition acquisition, PointMaker pointMaker, Plan plan) {
    this.acquisition = acquisition;
    this.pointMaker = pointMaker;
    this.ladder = new ArrayList<>(plan.ladder());
    acquisition.bandLevels(loud);
  }

  public void row(Frame frame) {
    acquisition.accept(frame);
  }

  /**
   * @throws IllegalArgumentException when the event does not fit the plan: which and why
   */
  public void event(TestEvent event) {
    step(event.moment(), event.what());
    seat.happened(event.what());
    stands.happened(event.what());
  }

  /** What an event does to the main path; which point stands after it is not decided here. */
  private void step(Moment moment, TestEvent.What what) {
    if (what instanceof TestEvent.Segment) {
      acquisition.restart(Reckoning.BY_ARRIVAL);
    } else if (what instanceof TestEvent.Reckoned reckoned) {
      acquisition.restart(
          Reckoning.named(reckoned.by())
              .orElseThrow(
                  () ->
                      new IllegalArgumentException(
                          "its readings were reckoned \""
                              + reckoned.by()
                              + "\", which this program does not know: use a newer one")));
    } else if (what instanceof TestEvent.Begun opened) {
      acquisition.begin(moment, rung(opened.rung()).sweep());
      loud.begun(opened.rung());
      begun = opened;
    } else if (what instanceof TestEvent.Kept) {
      keep(moment);
    } else if (what instanceof TestEvent.Redone redone) {
      rung(redone.rung());
    } else if (what instanceof TestEvent.Skipped skipped) {
      rung(skipped.rung());
    } else if (what instanceof TestEvent.Undone undone) {
      rung(undone.rung());
      RungStands now = undone.now();
      if (now.how() == RungStands.How.KEPT && !stands.knows(undone.rung(), now.attempt())) {
        throw new IllegalArgumentException(
            "the events take a step back to attempt "
                + now.attempt()
                + " at rung "
                + undone.rung()
                + ", which was never kept");
      }
    } else if (what instanceof TestEvent.Confirm confirm) {
      Confirmation.of(confirm).rungs(confirm.firstRung()).stream()
          .filter(rung -> ladder.stream().noneMatch(there -> there.number() == rung.number()))
          .toList()
          .forEach(ladder::add);
    } else if (what instanceof TestEvent.Unread unread) {
      if (DECIDE.contains(unread.kind())) {
        throw new IllegalArgumentException(
            "event \""
                + unread.kind().word()
                + "\" has the detail \""
                + unread.detail()
                + "\", in which no rung or segment can be read");
      }
    }
  }

  /** The points that stand, in the order of the ladder. */
  public List<LiftPoint> points() {
    return pointMaker.finished(stands.points(), seat.readings());
  }

  /** The means of the points that stand, by rung. */
  public SortedMap<Integer, PointMeans> means() {
    SortedMap<Integer, PointMeans> means = new TreeMap<>();
    stands.points().forEach(kept -> means.put(kept.point().rung(), kept.means()));
    return means;
  }

  /**
   * The fast channel's levels, tenth of a second by tenth.
   *
   * @param points those that stand
   */
  public List<LoudTenth> loud(List<LiftPoint> points) {
    return loud.of(points);
  }

  /** Numbers of the rungs left empty. */
  public List<Integer> skipped() {
    return stands.skipped();
  }

  private void keep(Moment at) {
    Rung rung = rung(begun.rung());
    PointMaker.Kept kept =
        acquisition
            .window()
            .flatMap(
                open ->
                    pointMaker.point(
                        open, rung, begun.attempt(), begun.aimPa(), begun.segment(), at, List.of()))
            .orElseThrow(
                () ->
                    new IllegalArgumentException(
                        "the events keep rung "
                            + rung.number()
                            + " where the samples give no average: they do not belong together"));
    acquisition.end();
    loud.kept(begun.attempt());
    stands.keep(rung.number(), begun.attempt(), kept);
  }

  private Rung rung(int number) {
    return ladder.stream()
        .filter(rung -> rung.number() == number)
        .findFirst()
        .orElseThrow(
            () ->
                new IllegalArgumentException(
                    "the events name rung " + number + ", which the plan has not"));
  }
}
