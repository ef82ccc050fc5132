package meniscus.drivers.sheet;

import meniscus.core.instrument.Rejected;
import meniscus.core.instrument.Sink;
import meniscus.core.time.Moment;

/**
 * Follows the number that an instrument puts into every frame: makes of it the sample index of
 * {@link meniscus.core.instrument.Channel#SAMPLE_INDEX}, and tells frames that were lost, came
 * twice, or began to be counted anew. Its line's thread alone uses it.
 */
public final class SampleCounter {

  private final CounterRole role;
  private double before = Double.NaN;
  private double index;
  private long unread;

  public SampleCounter(CounterRole role) {
    this.role = role;
  }

  /** The line was opened or lost: what is counted next begins at 0. */
  public void restart() {
    before = Double.NaN;
    index = 0;
    unread = 0;
  }

  /** A frame came that could not be read; told already, so it is not told as lost once more. */
  public void unread() {
    unread++;
  }

  /**
   * The next frame's number.
   *
   * @param sink is told what is missing
   * @return the sample index; NaN when the frame must not be given on: it came twice, or its number
   *     cannot be one
   */
  public double index(double number, Moment at, Sink sink) {
    if (!(number >= 0 && number < role.modulus() && number == Math.rint(number))) {
      tell(at, sink, "its count is no whole number from 0 to " + whole(role.modulus() - 1));
      return Double.NaN;
    }
    double ahead = Math.IEEEremainder(number - before, role.modulus());
    if (Double.isNaN(ahead)) {
      index = 0;
    } else if (ahead == 0) {
      tell(at, sink, "came twice: its count is still " + whole(number));
      return Double.NaN;
    } else if (ahead < 0) {
      // Frames never overtake each other on a line; an instrument that was reset goes back.
      tell(
          at,
          sink,
          "the count went back from "
              + whole(before)
              + " to "
              + whole(number)
              + ": was the instrument reset?");
      index = 0;
    } else {
      tellMissing(ahead, number, at, sink);
      index += ahead / role.step();
    }
    before = number;
    unread = 0;
    return index;
  }

  private void tellMissing(double ahead, double number, Moment at, Sink sink) {
    long missing = Math.round(ahead / role.step()) - 1 - unread;
    if (missing > 0) {
      tell(
          at,
          sink,
          missing
              + " lost on the way: the count went from "
              + whole(before)
              + " to "
              + whole(number));
    }
  }

  private static void tell(Moment at, Sink sink, String what) {
    sink.rejected(new Rejected(at, "", what));
  }

  private static String whole(double number) {
    return String.valueOf((long) number);
  }
}
