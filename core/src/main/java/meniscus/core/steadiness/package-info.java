/**
 * Tells steady flow from unsteady, against the bench's own calm record.
 *
 * <p>Here: features, limits, verdicts, the streaming judge of one signal. Not here: how a mean and
 * its uncertainty are worked out (settle), files.
 */
package meniscus.core.steadiness;
