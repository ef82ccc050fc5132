package meniscus.core.outlet;

import java.time.Instant;
import java.util.Collections;
import java.util.Objects;
import java.util.Optional;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.UUID;

/**
 * What is read just now. Newer values take the place of those that nobody has taken yet.
 *
 * @param at when
 * @param benchId whose it is
 * @param testId of the test that runs
 * @param numbers by name, in SI, with the unit in the name; what is not read is not among them
 */
public record LiveValues(
    Instant at, Optional<UUID> benchId, Optional<UUID> testId, SortedMap<String, Double> numbers) {
  public LiveValues {
    Objects.requireNonNull(at);
    Objects.requireNonNull(benchId);
    Objects.requireNonNull(testId);
    numbers = Collections.unmodifiableSortedMap(new TreeMap<>(numbers));
  }
}
