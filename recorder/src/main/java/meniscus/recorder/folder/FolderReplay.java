package meniscus.recorder.folder;

import java.io.Closeable;
import java.io.IOException;
import java.util.List;
import java.util.Optional;
import meniscus.core.lift.TestEvent;
import meniscus.recorder.journal.JournalVisitor;

/** Puts the rows of the samples, the frames that stand apart and the events into one order. */
final class FolderReplay implements Closeable {

  private final List<TestEvent> events;
  private final JournalVisitor visitor;
  private final Optional<FastTable.Reader> fast;
  private int nextEvent;
  private long rows;

  /**
   * @param events in their order
   * @param fast the frames that stand apart, where there are any
   */
  FolderReplay(List<TestEvent> events, JournalVisitor visitor, Optional<FastTable.Reader> fast) {
    this.events = events;
    this.visitor = visitor;
    this.fast = fast;
  }

  /** The next row of the samples: whatever came before it is shown first. */
  void row(long momentNanos, int instrument, long present, double[] values) throws IOException {
    framesApart();
    show(momentNanos, instrument, present, values);
  }

  /** What comes behind the last row. */
  void end() throws IOException {
    framesApart();
    if (fast.isPresent()) {
      fast.get().refuseLeftOver();
    }
    eventsUpTo(Long.MAX_VALUE);
  }

  private void framesApart() throws IOException {
    if (fast.isPresent()) {
      fast.get().showFrom(rows, this::show);
    }
  }

  private void show(long momentNanos, int instrument, long present, double[] values)
      throws IOException {
    eventsUpTo(rows);
    visitor.row(momentNanos, instrument, present, values);
    rows++;
  }

  private void eventsUpTo(long row) throws IOException {
    while (nextEvent < events.size() && events.get(nextEvent).afterRow() <= row) {
      visitor.event(events.get(nextEvent++));
    }
  }

  @Override
  public void close() throws IOException {
    if (fast.isPresent()) {
      fast.get().close();
    }
  }
}
