package meniscus.core.steadiness;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * What a judge says of a reading.
 *
 * @param verdict the verdict
 * @param mean settled level, in the unit of the readings; empty when unknown
 * @param standardError its standard uncertainty, repeat part only
 * @param degreesOfFreedom of the interval
 * @param u95 half of the 95 % interval
 * @param fromSeconds start of what was used, on the caller's clock [s]
 * @param toSeconds end of what was used: when the verdict could be given [s]
 * @param preciseAtSeconds when the asked half width was first reached [s]
 * @param effectiveSamples independent readings that the mean is worth
 * @param seenToHertz fluctuation faster than this cannot be seen [Hz]
 * @param unsteadiness fluctuation over the calm record's; empty without one
 * @param switching the two levels, when it switches
 * @param precise the asked half width is reached
 * @param decided the verdict can be given
 * @param familiar chance that the noise is that of the calm record; 0 without one
 * @param spikes readings cut out
 * @param reasons in plain words, with numbers
 */
public record Judged(
    Verdict verdict,
    OptionalDouble mean,
    OptionalDouble standardError,
    double degreesOfFreedom,
    OptionalDouble u95,
    double fromSeconds,
    double toSeconds,
    OptionalDouble preciseAtSeconds,
    double effectiveSamples,
    double seenToHertz,
    OptionalDouble unsteadiness,
    Optional<Switching> switching,
    boolean precise,
    boolean decided,
    double familiar,
    int spikes,
    List<String> reasons) {

  public Judged {
    reasons = List.copyOf(reasons);
  }

  /** The same of an instrument that is found not to work: there is no mean to be had of it. */
  public Judged faulty(String because) {
    return new Judged(
        Verdict.FAULTY,
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        0,
        OptionalDouble.empty(),
        fromSeconds,
        toSeconds,
        OptionalDouble.empty(),
        0,
        seenToHertz,
        OptionalDouble.empty(),
        Optional.empty(),
        false,
        decided,
        familiar,
        spikes,
        List.of(because));
  }
}
