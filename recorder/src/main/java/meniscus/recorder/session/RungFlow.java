package meniscus.recorder.session;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import meniscus.core.lift.Plan;
import meniscus.core.lift.Rung;
import meniscus.core.lift.Sweep;
import meniscus.core.lift.TestEvent;
import meniscus.core.pipeline.Acquisition;
import meniscus.core.pipeline.Reckoning;
import meniscus.core.pipeline.RungWindow;
import meniscus.core.time.Moment;
import meniscus.recorder.folder.TestFolder;
import meniscus.recorder.journal.Header;
import meniscus.recorder.journal.JournalVisitor;

/**
 * The flow of one rung, sample by sample, worked out again from a test folder on the path that the
 * live run took: what the average was made of.
 */
public final class RungFlow implements JournalVisitor {

  private final int rung;
  private final Sweep sweep;
  private final Acquisition path;
  private final List<double[]> samples = new ArrayList<>();
  private boolean open;

  private RungFlow(int rung, Sweep sweep, Acquisition path) {
    this.rung = rung;
    this.sweep = sweep;
    this.path = path;
  }

  /**
   * Moments [s] and effective areas of the port [m²], in the order of time; those of the attempt
   * that was begun last.
   */
  public static List<double[]> of(TestFolder test, int rung) throws IOException {
    Assembly assembly = Assembly.of(FolderFiles.of(test));
    Plan plan = assembly.plan();
    Sweep sweep =
        plan.ladder().stream()
            .filter(one -> one.number() == rung)
            .map(Rung::sweep)
            .findFirst()
            .orElse(Sweep.OPENING);
    RungFlow flow =
        new RungFlow(
            rung,
            sweep,
            assembly.acquisition(
                test.instruments().stream().map(Header.Columns::channels).toList()));
    test.replay(flow);
    return flow.samples;
  }

  @Override
  public void row(long momentNanos, int instrument, long present, double[] values) {
    path.accept(ReplayVisitor.frame(momentNanos, instrument, present, values));
  }

  @Override
  public void event(TestEvent event) {
    Moment moment = event.moment();
    if (event.what() instanceof TestEvent.Segment) {
      path.restart(Reckoning.BY_ARRIVAL);
    } else if (event.what() instanceof TestEvent.Reckoned reckoned) {
      Reckoning.named(reckoned.by()).ifPresent(path::restart);
    } else if (event.what() instanceof TestEvent.Begun begun) {
      close();
      if (begun.rung() == rung) {
        samples.clear();
        RungWindow window = path.begin(moment, sweep);
        window.show((seconds, areaM2) -> samples.add(new double[] {seconds, areaM2}));
        open = true;
      }
    } else if (event.what() instanceof TestEvent.Kept) {
      close();
    }
  }

  private void close() {
    if (open) {
      path.end();
      open = false;
    }
  }
}
