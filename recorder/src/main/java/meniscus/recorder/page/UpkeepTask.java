package meniscus.recorder.page;

import java.io.IOException;
import java.util.List;
import meniscus.recorder.upkeep.PlateRun;

/**
 * One thing that is done for the bench from the page: zero, leakage, calibration, plate check, calm
 * record.
 *
 * @param word as asked for: {@code zero}
 * @param title for people
 * @param work does it; writes what was learned into the bench file
 */
record UpkeepTask(String word, String title, Work work) {

  /** Does the task on the thread of its own. */
  @FunctionalInterface
  interface Work {
    Outcome done(PlateRun.Operator operator) throws IOException, InterruptedException;
  }

  /**
   * How it ended.
   *
   * @param doubt true when something is to be looked at before the bench is trusted
   * @param lines for people, one a fact
   * @param page address of a page to print; empty when there is none
   */
  record Outcome(boolean doubt, List<String> lines, String page) {
    Outcome {
      lines = List.copyOf(lines);
    }
  }
}
