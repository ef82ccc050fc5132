package meniscus.core.lift;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertInstanceOf;

import java.time.Instant;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import meniscus.core.lift.TestEvent.Back;
import meniscus.core.lift.TestEvent.Begun;
import meniscus.core.lift.TestEvent.Kept;
import meniscus.core.lift.TestEvent.Kind;
import meniscus.core.lift.TestEvent.Lost;
import meniscus.core.lift.TestEvent.Reckoned;
import meniscus.core.lift.TestEvent.Redone;
import meniscus.core.lift.TestEvent.Said;
import meniscus.core.lift.TestEvent.Segment;
import meniscus.core.lift.TestEvent.Skipped;
import meniscus.core.lift.TestEvent.Undone;
import meniscus.core.lift.TestEvent.Unread;
import meniscus.core.lift.TestEvent.What;
import org.junit.jupiter.api.Test;

/** The details of events, letter by letter as docs/file-formats.md has them. */
class EventTextTest {

  private static final Map<String, What> WRITTEN =
      Map.ofEntries(
          Map.entry(
              "2031-05-06T07:08:09.123456789Z",
              new Segment(Instant.parse("2031-05-06T07:08:09.123456789Z"))),
          Map.entry(
              "rung=1 attempt=2 aim_pa=6974.489479999999 segment=3",
              new Begun(1, 2, 6974.489479999999, 3)),
          Map.entry("by_bench", new Reckoned("by_bench")),
          Map.entry("rung=12 attempt=1", new Kept(12, 1)),
          Map.entry("rung=7", new Redone(7)),
          Map.entry("rung=8", new Skipped(8)),
          Map.entry("rung=1 now=open step=keep", new Undone(1, RungStands.OPEN, Undone.Step.KEEP)),
          Map.entry(
              "rung=1 now=skipped step=redo", new Undone(1, RungStands.SKIPPED, Undone.Step.REDO)),
          Map.entry(
              "rung=3 now=kept:2 step=skip", new Undone(3, RungStands.kept(2), Undone.Step.SKIP)),
          Map.entry(
              "lift_m=0.0127 control_m=0.01016 highest_pa=7000.0 first=13",
              new TestEvent.Confirm(0.0127, 0.01016, 7000, 6, 13, OptionalDouble.empty())),
          Map.entry(
              "lift_m=0.0127 control_m=0.01016 highest_pa=7000.0 first=13 pressures=5 other_way_from_m=0.01143",
              new TestEvent.Confirm(0.0127, 0.01016, 7000, 5, 13, OptionalDouble.of(0.01143))),
          Map.entry("read_m=1.2E-5", new TestEvent.Seat(1.2e-5)),
          Map.entry("dial: unplugged: no such port", new Lost("dial", "unplugged: no such port")),
          Map.entry("dial", new Back("dial", "")),
          Map.entry("journal: the disk works again", new Back("journal", "the disk works again")),
          Map.entry("rung=1, says the operator", new Said(Kind.NOTE, "rung=1, says the operator")),
          Map.entry("dial: no number: xyz", new Said(Kind.REJECTED, "dial: no number: xyz")),
          Map.entry("clock jumped", new Said(Kind.CLOCK, "clock jumped")),
          Map.entry("typed", new Said(Kind.STOPPED, "typed")));

  @Test
  void everyKindIsWrittenAndReadBackLetterByLetter() {
    WRITTEN.forEach(
        (detail, what) -> {
          assertEquals(detail, EventText.detail(what));
          assertEquals(what, EventText.what(what.kind(), detail));
        });
    Set<Kind> seen = EnumSet.noneOf(Kind.class);
    WRITTEN.values().forEach(what -> seen.add(what.kind()));
    assertEquals(EnumSet.allOf(Kind.class), seen);
  }

  @Test
  void whatHasNotTheFormOfItsKindIsKeptLetterByLetterAndDecidesNothing() {
    for (Kind kind : EnumSet.range(Kind.SEGMENT, Kind.UNDONE)) {
      for (String detail : List.of("", "rung=", "rung=one attempt=1", "rung=1 now=kept:0 step=x")) {
        What read = EventText.what(kind, detail);
        assertInstanceOf(Unread.class, read, kind + " " + detail);
        assertEquals(detail, EventText.detail(read));
        assertEquals(kind, read.kind());
      }
    }
    StandingPoints<String> points = new StandingPoints<>();
    points.keep(1, 1, "a");
    points.happened(EventText.what(Kind.REDO, "rung=1 of two"));
    assertEquals(List.of("a"), points.points());
  }

  @Test
  void undoBringsBackTheValueThatStoodBefore() {
    StandingPoints<String> points = new StandingPoints<>();
    points.keep(1, 1, "first");
    points.happened(new Redone(1));
    assertEquals(List.of(), points.points());
    points.keep(1, 2, "second");
    points.happened(new Undone(1, RungStands.OPEN, Undone.Step.KEEP));
    assertEquals(RungStands.OPEN, points.stands(1));
    points.happened(new Undone(1, RungStands.kept(1), Undone.Step.REDO));
    assertEquals(List.of("first"), points.points());
    points.happened(new Skipped(1));
    assertEquals(List.of(1), points.skipped());
    points.happened(new Undone(1, RungStands.kept(1), Undone.Step.SKIP));
    assertEquals(List.of("first"), points.points());
    assertEquals(List.of(), points.skipped());
  }

  /** Each event of a whole test is lost once: all other rungs stand as they would have. */
  @Test
  void anEventThatIsLostMisleadsAboutItsOwnRungOnly() {
    List<What> all =
        List.of(
            new Kept(1, 1),
            new Kept(2, 1),
            new Redone(1),
            new Skipped(3),
            new Kept(1, 2),
            new Undone(1, RungStands.OPEN, Undone.Step.KEEP),
            new Undone(1, RungStands.kept(1), Undone.Step.REDO),
            new Undone(3, RungStands.OPEN, Undone.Step.SKIP),
            new Kept(3, 1),
            new Redone(2),
            new Kept(2, 2));
    StandingPoints<String> whole = stands(all);
    for (int lost = 0; lost < all.size(); lost++) {
      List<What> left = new java.util.ArrayList<>(all);
      int own = rung(left.remove(lost));
      StandingPoints<String> damaged = stands(left);
      for (int rung = 1; rung <= 3; rung++) {
        if (rung != own) {
          assertEquals(whole.stands(rung), damaged.stands(rung), "without " + all.get(lost));
          assertEquals(whole.point(rung), damaged.point(rung), "without " + all.get(lost));
        }
      }
    }
  }

  private static StandingPoints<String> stands(List<What> all) {
    StandingPoints<String> points = new StandingPoints<>();
    for (What what : all) {
      if (what instanceof Kept kept) {
        points.keep(kept.rung(), kept.attempt(), kept.toString());
      } else {
        points.happened(what);
      }
    }
    return points;
  }

  private static int rung(What what) {
    return what instanceof Kept kept
        ? kept.rung()
        : what instanceof Redone redone
            ? redone.rung()
            : what instanceof Skipped skipped ? skipped.rung() : ((Undone) what).rung();
  }
}
