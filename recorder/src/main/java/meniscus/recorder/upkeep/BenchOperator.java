package meniscus.recorder.upkeep;

import java.util.Optional;
import meniscus.core.bench.Evidence;
import meniscus.core.calibrate.Plate;
import meniscus.core.calibrate.PlateReading.Bevel;
import meniscus.core.flow.Direction;
import meniscus.core.quantity.Worded;
import meniscus.recorder.feed.GaugeReader;

/** The person at the bench while it is kept in order: mounts, opens and shuts, reads columns. */
public interface BenchOperator extends GaugeReader {

  /**
   * Asks to mount a plate.
   *
   * @param direction that the air goes
   * @return where its bevel looks; empty to leave this plate out
   */
  Optional<Bevel> mounted(Plate plate, Direction direction) throws InterruptedException;

  /**
   * Asks to do something before it begins; returns when it is done. A page whose form says it
   * already need not ask again.
   *
   * @param what to do, in whole sentences
   */
  void prepare(String what) throws InterruptedException;

  /**
   * Asks to do something at a moment that matters; returns when it is done.
   *
   * @param what to do, in whole sentences
   */
  void ready(String what) throws InterruptedException;

  /**
   * Readings of an interrupted run are at hand.
   *
   * @param left which ones
   * @return true when they are to be used, false to read them again
   */
  default boolean takesOver(String left) throws InterruptedException {
    told(new UpkeepMessage.TakenOver(left));
    return true;
  }

  /** What is done about a reading that could not be taken. */
  enum Then implements Worded {
    AGAIN("again"),
    /** With three times the patience. */
    LONGER("longer"),
    LEAVE_OUT("skip");

    private final String word;

    Then(String word) {
      this.word = word;
    }

    @Override
    public String word() {
      return word;
    }
  }

  /**
   * A reading could not be taken; the others go on.
   *
   * @param what was read: {@code plate 44}
   * @param why what was wrong with it, by how much
   */
  Then missed(String what, String why) throws InterruptedException;

  /** What is read next; how far the whole has come. */
  default void step(Step step) {}

  /** A reading of a plate was accepted: one more point of the correction. */
  default void point(Evidence.Point point) {}

  /**
   * How far a task has come.
   *
   * @param what is read: {@code plate 44}
   * @param number of it, from 1
   * @param of how many
   * @param pressure number of its test pressure, from 1
   * @param pressures how many
   */
  record Step(String what, int number, int of, int pressure, int pressures) {

    /** {@code plate 44, 3 of 5; pressure 1 of 2}. */
    public String words() {
      return what
          + (of > 1 ? ", " + number + " of " + of : "")
          + (pressures > 1 ? "; pressure " + pressure + " of " + pressures : "");
    }
  }
}
