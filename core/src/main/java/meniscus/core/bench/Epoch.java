package meniscus.core.bench;

import java.time.LocalDate;
import java.util.Objects;

/**
 * A stretch of the bench's life in which its numbers belong together. A new one begins when the
 * bench is moved or repaired or a gauge is changed.
 *
 * @param number 1 for the first
 * @param since first day
 * @param why what began it: new, moved, repaired, gauge changed
 */
public record Epoch(int number, LocalDate since, String why) {

  /** Where nothing is known of the bench's past. */
  public static final Epoch FIRST = new Epoch(1, LocalDate.EPOCH, "new");

  public Epoch {
    Objects.requireNonNull(since);
    Objects.requireNonNull(why);
  }

  /** False until the bench was changed for the first time. */
  public boolean afterChange() {
    return number > 1;
  }

  /** {@code last changed 2031-05-06 (gauge changed)}; empty while it is as first described. */
  public String words() {
    return afterChange() ? "last changed " + since + " (" + why + ")" : "";
  }

  /** {@code since the bench was last changed}, as the end of a sentence; empty before that. */
  public String sinceThen() {
    return afterChange() ? " since the bench was last changed" : "";
  }
}
