package meniscus.recorder.cli.terminal;

import java.time.Duration;
import java.time.Instant;

/** How long ago something was, as people say it. */
public final class AgeText {

  private AgeText() {}

  /** {@code 3 hours}, {@code 12 days}; what lies ahead is less than a minute old. */
  public static String words(Instant then) {
    return words(Duration.between(then, Instant.now()));
  }

  public static String words(Duration age) {
    if (age.toMinutes() < 1) {
      return "less than a minute";
    }
    if (age.toHours() < 2) {
      return many(age.toMinutes(), "minute");
    }
    return age.toDays() < 2 ? many(age.toHours(), "hour") : many(age.toDays(), "day");
  }

  private static String many(long count, String what) {
    return count + " " + what + (count == 1 ? "" : "s");
  }
}
