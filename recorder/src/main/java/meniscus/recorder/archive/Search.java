package meniscus.recorder.archive;

import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import meniscus.core.lift.Lifts;
import meniscus.core.lift.Plan;
import meniscus.recorder.file.TypedCurve;

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
    if (!asks()) {
      return true;
    }
    if (entry.typed().isPresent()) {
      return fits(entry.name(), entry.typed().get().typed());
    }
    if (entry.known().isEmpty()) {
      return false;
    }
    TestSummary known = entry.known().get();
    LocalDate day = known.at().atZone(ZoneOffset.UTC).toLocalDate();
    return part.map(words -> all(words, partOf(entry.name(), known))).orElse(true)
        && since.map(first -> !day.isBefore(first)).orElse(true)
        && until.map(last -> !day.isAfter(last)).orElse(true)
        && change.map(words -> all(words, String.join("\n", known.changes()))).orElse(true)
        && (liftM.isEmpty() || hasLift(known, liftM.getAsDouble()));
  }

  /** A curve without a day fits no days, and no curve from elsewhere has change notes. */
  private boolean fits(String name, TypedCurve typed) {
    String about =
        name
            + "\n"
            + typed.curve().name()
            + typed.port().map(port -> "\n" + port.word()).orElse("")
            + typed.part().map(Search::words).orElse("");
    return part.map(words -> all(words, about)).orElse(true)
        && since.map(first -> typed.on().filter(on -> !on.isBefore(first)).isPresent()).orElse(true)
        && until.map(last -> typed.on().filter(on -> !on.isAfter(last)).isPresent()).orElse(true)
        && change.isEmpty()
        && (liftM.isEmpty()
            || typed.curve().points().stream()
                .anyMatch(p -> Lifts.same(p.liftM(), liftM.getAsDouble())));
  }

  private static boolean hasLift(TestSummary known, double liftM) {
    return Lifts.among(known.liftsM(), liftM);
  }

  private static String partOf(String name, TestSummary known) {
    return name + "\n" + known.port().word() + words(known.part());
  }

  private static String words(Plan.Part part) {
    return "\n"
        + String.join(
            "\n",
            part.head(),
            part.chamber(),
            part.port(),
            part.valveJob(),
            part.customerReference());
  }

  private static boolean all(String words, String text) {
    String low = text.toLowerCase(Locale.ROOT);
    return Stream.of(words.strip().toLowerCase(Locale.ROOT).split("\\s+")).allMatch(low::contains);
  }
}
