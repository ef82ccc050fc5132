package meniscus.core.pipeline;

import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.time.Moment;

/** How far a run has come, and where what happens in it is written and told. */
final class RunRecord {

  private final RunLog log;
  private int segment;
  private long rows;
  private Moment now = Moment.START;

  RunRecord(RunLog log) {
    this.log = log;
  }

  Moment now() {
    return now;
  }

  /** 1 for the first. */
  int segment() {
    return segment;
  }

  /** A frame has arrived. */
  void row(Moment at) {
    now = at;
    rows++;
  }

  /** Another segment has gone before. */
  void goesOnAfter() {
    segment++;
  }

  /** The segments before had as many sample rows. */
  void goesOnAfter(long earlierRows) {
    rows = earlierRows;
  }

  /** Time goes on, never back. */
  void until(Moment at) {
    now = at.isAfter(now) ? at : now;
  }

  void begins(Moment at) {
    now = at;
    segment++;
  }

  void write(TestEvent.What what) {
    log.event(new TestEvent(now, rows, what));
  }

  void kept(LiftPoint point) {
    log.kept(new TestEvent(now, rows, new TestEvent.Kept(point.rung(), point.attempt())), point);
  }

  void tell(OperatorMessage message) {
    log.told(message);
  }
}
