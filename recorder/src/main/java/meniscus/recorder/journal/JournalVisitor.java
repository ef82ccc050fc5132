package meniscus.recorder.journal;

import java.io.IOException;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;

/**
 * Is shown a journal in the order in which it was written; nothing is kept in memory for it. Events
 * come with the number of rows that were really shown before them.
 */
public interface JournalVisitor {

  /** Sees nothing. */
  JournalVisitor NONE = new JournalVisitor() {};

  /** Shows all to one, then to another. */
  static JournalVisitor both(JournalVisitor first, JournalVisitor second) {
    return new JournalVisitor() {
      @Override
      public void row(long momentNanos, int instrument, long present, double[] values)
          throws IOException {
        first.row(momentNanos, instrument, present, values);
        second.row(momentNanos, instrument, present, values);
      }

      @Override
      public void event(TestEvent event) throws IOException {
        first.event(event);
        second.event(event);
      }

      @Override
      public void kept(LiftPoint point, TestEvent event) throws IOException {
        first.kept(point, event);
        second.kept(point, event);
      }
    };
  }

  /**
   * A received frame.
   *
   * @param momentNanos of arrival
   * @param instrument index in {@link Header#instruments}
   * @param present bit c is set where the frame has channel c
   * @param values by channel, in SI; NaN where the instrument said overload; undefined where not
   *     present. Borrowed for the call only
   */
  default void row(long momentNanos, int instrument, long present, double[] values)
      throws IOException {}

  default void event(TestEvent event) throws IOException {}

  /** A kept rung; the event is of kind {@code KEPT}. */
  default void kept(LiftPoint point, TestEvent event) throws IOException {
    event(event);
  }
}
