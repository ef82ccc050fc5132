package meniscus.recorder.upkeep;

import java.io.IOException;
import meniscus.core.refusal.Refusal;
import meniscus.recorder.feed.BenchFault;
import meniscus.recorder.feed.LeftOut;

/**
 * One thing that is done for the bench, asked for and checked, nothing opened yet: zero, gauges,
 * leakage, calibration, plate check, calm record, repeats. Terminal and page only ask for it and
 * show its outcome.
 */
public interface UpkeepTask {

  /** As asked for: {@code zero}. */
  String word();

  /** For people: {@code Leakage, suction, range small}. */
  String title();

  /** True when nobody need be asked to mount anything. */
  boolean simulated();

  /**
   * Does it, and writes what was learned into the bench's files.
   *
   * @throws Refusal when the bench does not give what is needed, and what to do
   * @throws BenchFault when an instrument cannot be heard
   * @throws InterruptedException when the person stopped it
   */
  UpkeepOutcome work(BenchOperator operator) throws IOException, InterruptedException;

  /** What stays where it is when this is stopped now, and how to go on. */
  default String keptWhenStopped() {
    return "the bench file is as it was";
  }

  /** Does it; what the bench refuses is an outcome, too. */
  default UpkeepOutcome done(BenchOperator operator) throws IOException {
    try {
      return work(operator);
    } catch (Refusal | LeftOut | BenchFault e) {
      return UpkeepOutcome.refused(e.getMessage());
    } catch (InterruptedException e) {
      return UpkeepOutcome.stopped("Stopped; " + keptWhenStopped());
    }
  }
}
