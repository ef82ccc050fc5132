package meniscus.core.bench;

import java.time.Instant;

/**
 * What a gauge shows when it should show nothing, blower off.
 *
 * @param offsetSi mean reading at zero [SI], subtracted from each reading
 * @param standardUncertaintySi of the offset [SI], drift until the next zero included
 * @param noiseSi standard deviation of single readings at zero [SI]
 * @param at when it was taken
 */
public record Zero(double offsetSi, double standardUncertaintySi, double noiseSi, Instant at) {

  public static final Zero NONE = new Zero(0, 0, 0, Instant.EPOCH);
}
