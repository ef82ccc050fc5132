/**
 * The uncertainty budget of one value after JCGM 100:2008: contributions, their degrees of freedom,
 * what they share with other values, and the expanded value.
 *
 * <p>Here: combining. Not here: where each contribution comes from.
 */
package meniscus.core.uncertainty;
