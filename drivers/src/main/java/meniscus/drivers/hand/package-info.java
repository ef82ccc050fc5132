/**
 * Readings that a person types: {@link meniscus.drivers.hand.ByHandDriver}. Here: what may be
 * typed. Not here: keyboards and pages; they are lines that give bytes.
 */
package meniscus.drivers.hand;
