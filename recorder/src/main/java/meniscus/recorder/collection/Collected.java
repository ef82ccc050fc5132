package meniscus.recorder.collection;

import java.nio.file.Path;
import java.util.List;
import meniscus.core.quantity.Coded;

/**
 * What came of collecting.
 *
 * @param added how many tests are new in the collection
 * @param already how many were in it
 * @param typed curves from elsewhere, which are no tests
 * @param plates folders of plate readings, which are no tests of a port: what a check found stands
 *     in the bench's health log
 * @param leftOut tests that were not collected, or not as they are now
 */
public record Collected(long added, long already, long typed, long plates, List<LeftOut> leftOut) {

  /** Nobody asked for anything. */
  public static final Collected NOTHING = new Collected(0, 0, 0, 0, List.of());

  /**
   * @param folder of the test
   * @param kind of reason
   * @param why in words
   */
  public record LeftOut(Path folder, Kind kind, String why) {}

  /** Why a test is not in the collection as it lies there. */
  public enum Kind implements Coded {
    UNFINISHED,
    DAMAGED,
    /** Another test of this id is in the collection. */
    OTHER_CONTENT,
    /** Its notes were changed after it was collected; the collection has it as it was. */
    OTHER_NOTES;
  }

  public Collected {
    leftOut = List.copyOf(leftOut);
  }
}
