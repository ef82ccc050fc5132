package meniscus.recorder.session;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import meniscus.core.lift.LiftPoint;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.Frame;
import meniscus.core.pipeline.OperatorMessage;
import meniscus.recorder.journal.Journal;
import meniscus.recorder.journal.Receipt;

/**
 * A running test's journal, and telling the listeners what is safe in it: a point once it is on the
 * disk, and trouble with the disk when it comes and when it goes. Belongs to the session's thread.
 */
final class Safekeeping {

  private final Journal journal;
  private final List<SessionListener> listeners;
  private final Deque<Unsafe> unsafe = new ArrayDeque<>();
  private volatile boolean changed;
  private Optional<String> trouble = Optional.empty();
  private Optional<String> mirrorTrouble = Optional.empty();

  private record Unsafe(LiftPoint point, Receipt receipt) {}

  Safekeeping(Journal journal, List<SessionListener> listeners) {
    this.journal = journal;
    this.listeners = listeners;
    journal.onChange(state -> changed = true);
  }

  /**
   * Writes a frame down.
   *
   * @return false when memory is full because the disk has not worked for long
   */
  boolean row(Frame frame) {
    return journal.row(frame);
  }

  void event(TestEvent event) {
    journal.event(event);
    listeners.forEach(listener -> listener.event(event));
  }

  void kept(TestEvent event, LiftPoint point) {
    Receipt receipt = journal.kept(point, event);
    if (receipt.safe() && unsafe.isEmpty()) {
      listeners.forEach(listener -> listener.kept(point));
    } else {
      unsafe.add(new Unsafe(point, receipt));
      listeners.forEach(listener -> listener.notSafeYet(point, receipt.reason()));
    }
  }

  /** Forces what was taken, and tells what became of it. */
  void force() {
    journal.force();
    tell();
  }

  /** Tells the points that have become safe since they were kept, and how the disk fares. */
  void tell() {
    while (!unsafe.isEmpty() && journal.ask(unsafe.peek().receipt()).safe()) {
      LiftPoint point = unsafe.remove().point();
      listeners.forEach(listener -> listener.kept(point));
    }
    if (changed) {
      changed = false;
      Journal.State state = journal.state();
      if (!state.trouble().equals(trouble)) {
        trouble = state.trouble();
        tell(
            trouble
                .<OperatorMessage>map(OperatorMessage.DiskFails::new)
                .orElse(new OperatorMessage.DiskWorks()));
      }
      if (!state.mirrorTrouble().equals(mirrorTrouble)) {
        mirrorTrouble = state.mirrorTrouble();
        tell(new OperatorMessage.Mirror(mirrorTrouble));
      }
    }
  }

  private void tell(OperatorMessage message) {
    listeners.forEach(listener -> listener.told(message));
  }
}
