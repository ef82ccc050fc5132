package meniscus.recorder.session;

import java.io.IOException;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.Frame;
import meniscus.core.pipeline.Replay;
import meniscus.core.time.Moment;
import meniscus.recorder.folder.BadTestFolder;
import meniscus.recorder.journal.JournalVisitor;

/** Feeds recorded rows and events to a replay. */
record ReplayVisitor(Replay replay) implements JournalVisitor {
  @Override
  public void row(long momentNanos, int instrument, long present, double[] values) {
    replay.row(frame(momentNanos, instrument, present, values));
  }

  /** A recorded row as the frame that it was. */
  static Frame frame(long momentNanos, int instrument, long present, double[] values) {
    double[] read = new double[values.length];
    for (int channel = 0; channel < values.length; channel++) {
      boolean there = (present >>> channel & 1) == 1;
      read[channel] =
          !there ? Double.NaN : Double.isNaN(values[channel]) ? Frame.OVERLOAD : values[channel];
    }
    return new Frame(instrument, new Moment(momentNanos), read);
  }

  @Override
  public void event(TestEvent event) throws IOException {
    try {
      replay.event(event);
    } catch (IllegalArgumentException e) {
      throw new BadTestFolder("events.csv: " + e.getMessage(), e);
    }
  }
}
