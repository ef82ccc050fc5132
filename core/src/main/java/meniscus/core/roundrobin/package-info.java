/**
 * One thing read on several benches: how far each bench is from what they say together, how sure
 * that is, and what is left that no bench accounts for.
 *
 * <p>{@link meniscus.core.roundrobin.RoundRobin#of} is the way in. Not here: where the readings
 * come from, and words.
 */
package meniscus.core.roundrobin;
