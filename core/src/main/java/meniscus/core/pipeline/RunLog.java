package meniscus.core.pipeline;

import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;

/** Where a run writes what must not be lost. Whoever implements it writes before returning. */
public interface RunLog {

  void event(TestEvent event);

  /** A point is kept: it must be safe before this returns. */
  void kept(TestEvent event, LiftPoint point);

  /** Something to tell the operator that is no part of the record. */
  void told(OperatorMessage told);
}
