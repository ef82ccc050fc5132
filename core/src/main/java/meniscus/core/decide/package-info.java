/**
 * Deciding from values with uncertainty: p-values, equivalence, many questions at once.
 *
 * <p>Here: the statistics alone, on plain numbers. Not here: what the numbers are of (compare,
 * finding) and where an uncertainty comes from (uncertainty).
 */
package meniscus.core.decide;
