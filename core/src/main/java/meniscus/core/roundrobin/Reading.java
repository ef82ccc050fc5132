package meniscus.core.roundrobin;

import java.util.Objects;
import meniscus.core.decide.Estimate;
import meniscus.core.uncertainty.Budget;

/**
 * The thing, read once on one bench.
 *
 * @param bench name that no other bench has
 * @param atS when it was read [s] from any beginning
 * @param value found, in any unit that all readings have
 * @param shared errors that other readings have too: by their ids, they are the same
 * @param own variance of this reading alone, above 0: reading it again, putting it on again
 */
public record Reading(String bench, double atS, double value, Budget shared, Estimate.Part own) {
  public Reading {
    Objects.requireNonNull(bench);
    Objects.requireNonNull(shared);
    if (!Double.isFinite(value) || !Double.isFinite(atS) || !(own.variance() > 0)) {
      throw new IllegalArgumentException("a reading needs finite numbers and a scatter of its own");
    }
  }
}
