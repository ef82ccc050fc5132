package meniscus.recorder.session;

import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.core.pipeline.RunState;

/** A client of a session: is told, in order and on the session's thread, what happens. */
public interface SessionListener {

  /** A point is kept and safe on the disk. */
  default void kept(LiftPoint point) {}

  /** A point is kept but not safe on the disk yet. */
  default void notSafeYet(LiftPoint point, String reason) {}

  default void event(TestEvent event) {}

  default void told(OperatorMessage told) {}

  /** How things stand, about thirty times a second. */
  default void state(RunState state) {}
}
