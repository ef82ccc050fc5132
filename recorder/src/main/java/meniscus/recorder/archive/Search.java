package meniscus.recorder.archive;

import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import meniscus.core.lift.TestCurve;

/**
 * What tests are looked for; everything that is given must fit.
 *
 * @param part words that all stand somewhere in head, chamber, port, valve job, customer reference
 *     or the test's own name; in any case of letters
 * @param since first day, UTC
 * @param until last day, UTC
 * @param change words that all stand in its change notes
 * @param liftM a lift that it has a point at [m]
 */
public record Search(
    Optional<String> part,
    Optional<LocalDate> since,
    Optional<LocalDate> until,
    Optional<String> change,
    OptionalDouble liftM) {

  public static final Search ALL =
      new Search(
          Optional.empty(),
          Optional.empty(),
          Optional.empty(),
          Optional.empty(),
          OptionalDouble.empty());

  /** Whether anything is asked. */
  public boolean asks() {
    return !equals(ALL);
  }

  /** Unfinished and damaged tests fit only where nothing is asked. */
  public boolean fits(IndexEntry entry) {
    if (entry.known().isEmpty()) {
      return !asks();
    }
    TestSummary known = entry.known().get();
    LocalDate day = known.at().atZone(ZoneOffset.UTC).toLocalDate();
    return part.map(words -> all(words, partOf(entry.name(), known))).orElse(true)
        && since.map(first -> !day.isBefore(first)).orElse(true)
        && until.map(last -> !day.isAfter(last)).orElse(true)
        && change.map(words -> all(words, String.join("\n", known.changes()))).orElse(true)
        && (liftM.isEmpty() || hasLift(known, liftM.getAsDouble()));
  }

  private static boolean hasLift(TestSummary known, double liftM) {
    return known.liftsM().stream().anyMatch(l -> Math.abs(l - liftM) < TestCurve.SAME_LIFT_M);
  }

  private static String partOf(String name, TestSummary known) {
    return String.join(
        "\n",
        name,
        known.port().word(),
        known.part().head(),
        known.part().chamber(),
        known.part().port(),
        known.part().valveJob(),
        known.part().customerReference());
  }

  private static boolean all(String words, String text) {
    String low = text.toLowerCase(Locale.ROOT);
    return Stream.of(words.strip().toLowerCase(Locale.ROOT).split("\\s+")).allMatch(low::contains);
  }
}
